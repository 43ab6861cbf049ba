/** What nothing reaches: functions of Go by deadcode, files, exports and dependencies of TypeScript by knip (knip.jsonc). */

/** @typedef {import('./counts.mjs').Counts} Counts */
/** @typedef {(name: string, args: string[]) => Promise<{code: number | null, output: string}>} Tool */

const forPlan = 'the crop plan is built on it';
const forTests = 'tests of more than one package call it, and Go shares nothing between test files of two packages';
const forStandby = 'a test of the program starts a standby, by what starts PostgreSQL for benches and drills too';

/**
 * Functions that no program reaches, and why each stays. One that is reached after all, or gone, fails the check too.
 * @type {Record<string, string>}
 */
export const exceptions = {
  // Degree-days (section 4, "Climate").
  'bedwalk/sync/stats.DegreesOf': forPlan,
  'bedwalk/sync/stats.sineAbove': forPlan,
  'bedwalk/sync/stats.triangleAbove': forPlan,
  // Sums over beds and lots, and the chance to be short (section 4, "Grade at shipping" and "Supply of a week").
  'bedwalk/sync/stats.Predictive.Plus': forPlan,
  'bedwalk/fixtures/checks.Case.Near': forTests,
  'bedwalk/fixtures/checks.Elsewhere': forTests,
  'bedwalk/fixtures/checks.Of': forTests,
  'bedwalk/fixtures/checks.Read': forTests,
  'bedwalk/fixtures/checks.Run': forTests,
  'bedwalk/fixtures/nursery.Make': forTests,
  'bedwalk/fixtures/vary.Bytes': forTests,
  'bedwalk/server/testphone.Folder': forTests,
  'bedwalk/server/testphone.Ready': forTests,
  'bedwalk/server/testpg.Own': forTests,
  'bedwalk/server/testpg.Pair.FailOver': forStandby,
  'bedwalk/server/testpg.Pair.Part': forStandby,
  'bedwalk/server/testpg.Pair.Wait': forStandby,
  'bedwalk/server/testpg.StartPair': forStandby,
  'bedwalk/server/testpg.place.kill': forStandby,
  'bedwalk/server/testpg.reset': forStandby,
  'bedwalk/server/testpg.until': forStandby,
  'bedwalk/server/testpg.URL': forTests,
  'bedwalk/sync/fold/foldgen.Whole': forTests,
};

/**
 * @param {Tool} tool
 * @returns {Promise<Counts>}
 */
export async function deadcode(tool) {
  const { code, output } = await tool('go', ['tool', 'deadcode', '-json', './...']);
  if (code !== 0) return { passed: 0, failed: 1, notes: [output] };
  return judge(JSON.parse(output || 'null'), exceptions);
}

/**
 * @param {Tool} tool
 * @returns {Promise<Counts>}
 */
export async function knip(tool) {
  const { code, output } = await tool('node', [
    'node_modules/knip/bin/knip.js',
    '--config',
    'pwa/tools/knip.jsonc',
    '--no-progress',
  ]);
  if (code === 0) return { passed: 1, failed: 0, notes: [] };
  return {
    passed: 0,
    failed: 1,
    notes: [`${output}\nexport nothing that no other file imports; what is not used at all goes`],
  };
}

/**
 * @param {{Path: string, Funcs: {Name: string, Position: {File: string, Line: number}}[]}[] | null} packages as deadcode -json prints them
 * @param {Record<string, string>} exceptions
 * @returns {Counts}
 */
export function judge(packages, exceptions) {
  /** @type {Map<string, string>} */
  const found = new Map(
    (packages ?? []).flatMap(({ Path, Funcs }) =>
      Funcs.map(
        ({ Name, Position }) => /** @type {const} */ ([`${Path}.${Name}`, `${Position.File}:${Position.Line}`]),
      ),
    ),
  );
  const notes = [
    ...[...found].filter(([name]) => !(name in exceptions)).map(([name, at]) => `${at}: nothing reaches ${name}`),
    ...Object.keys(exceptions)
      .filter((name) => !found.has(name))
      .map((name) => `pwa/tools/dead.mjs: ${name} is reached or gone; take it off the list`),
  ];
  if (notes.length === 0) return { passed: 1, failed: 0, notes };
  return { passed: 0, failed: 1, notes: [notes.join('\n')] };
}
