/** Lighthouse, mobile profile, on the built app: as a stranger's phone first meets it, and as a scout sees a day. */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { quiet } from '../../e2e/harness.ts';
import { Server } from '../../e2e/server.ts';
import { figure } from './notes.mjs';
import { lighthouseCommand } from './peers.mjs';

/** Asked so often of each screen; one answer alone may be twenty points off. */
const TIMES = 3;

interface Report {
  environment: { benchmarkIndex: number };
  categories: Record<string, { score: number | null; auditRefs: { id: string; weight: number }[] }>;
  audits: Record<string, { title: string; score: number | null; numericValue?: number }>;
}

/** Figures `lighthouse SCREEN CATEGORY`; a point that was lost is printed on a line of its own, not as JSON. */
export async function measureLighthouse(): Promise<void> {
  const server = await Server.start({ demo: true });
  const folder = mkdtempSync(join(tmpdir(), 'bedwalk-lighthouse-'));
  const browser = await chromium.launchPersistentContext(join(folder, 'profile'), {
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-sync', '--remote-debugging-port=0', ...quiet],
  });
  try {
    const [port = ''] = readFileSync(join(folder, 'profile', 'DevToolsActivePort'), 'utf8').split('\n');
    const ask = async (screen: string, ...more: string[]) => {
      for (let i = 0; i < TIMES; i++)
        tell(screen, await asks(server.url, port, join(folder, `${screen}${i}.json`), more));
    };
    await ask('first');
    const page = await browser.newPage();
    await page.goto(await server.pairingLink('scout'));
    await page.locator('.pair [type=submit]').click();
    await page.locator('.lines a').first().waitFor({ timeout: 60_000 });
    await page.locator('.arriving').waitFor({ state: 'detached', timeout: 120_000 });
    await page.close();
    await ask('today', '--disable-storage-reset');
  } finally {
    await browser.close();
    await server.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function asks(url: string, port: string, path: string, more: string[]): Promise<Report> {
  const args = [url, '--port', port, '--quiet', '--output', 'json', '--output-path', path, ...more];
  const child = spawn(
    'node',
    [lighthouseCommand, ...args, '--only-categories', 'accessibility,best-practices,performance'],
    {
      stdio: ['ignore', 'ignore', 'pipe'],
    },
  );
  let said = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => (said += text));
  const code = await new Promise((done, fail) => child.on('error', fail).on('close', done));
  if (code !== 0) throw new Error(`Lighthouse ended with ${code}: ${said.trim().split('\n').slice(-3).join(' ')}`);
  return JSON.parse(readFileSync(path, 'utf8')) as Report;
}

function tell(screen: string, { categories, audits, environment }: Report): void {
  figure('lighthouse machine', 'points', environment.benchmarkIndex);
  for (const [name, { score, auditRefs }] of Object.entries(categories)) {
    figure(`lighthouse ${screen} ${name}`, 'points', Math.round(100 * (score ?? Number.NaN)));
    const lost = auditRefs.flatMap(({ id, weight }) => {
      const audit = audits[id];
      return weight > 0 && audit && audit.score !== null && audit.score < 0.9 ? [`${audit.title}`] : [];
    });
    for (const title of lost) process.stdout.write(`lost ${screen}, ${name}: ${title}\n`);
  }
  const times = { 'first-contentful-paint': 'ms', 'largest-contentful-paint': 'ms', 'total-blocking-time': 'ms' };
  for (const [id, unit] of Object.entries({ ...times, 'total-byte-weight': 'bytes' })) {
    const value = audits[id]?.numericValue;
    if (value !== undefined) figure(`lighthouse ${screen} ${id}`, unit, value);
  }
}
