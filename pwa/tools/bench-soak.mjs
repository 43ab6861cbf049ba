/**
 * `npm run bench:soak`: 300 phones that return at once from a weekend with 2,000 notes and three photos each, 10,000 open connections,
 * and five minutes of work after it, on the real program: longest answers, memory, order of service. Flags make it smaller:
 * `npm run bench:soak -- --phones 60 --notes 500 --sockets 2000 --minutes 1`. It is a bench and never a test: it fails only where
 * something went wrong, as when a note that was answered is not there.
 */
import { cpus, loadavg } from 'node:os';
import { goBench, machine, prepare, print, printed, short } from './bench/run.mjs';
import { bedwalk } from './steps.mjs';

await prepare();
const busy = loadavg()[0] ?? 0;
const text = await printed(goBench, ['soak', '--binary', bedwalk, ...process.argv.slice(2)]);
print(`\n${machine()}`);
if (busy > cpus().length / 2)
  print(
    `THE MACHINE WAS BUSY: ${busy.toFixed(1)} programs wanted its ${cpus().length} processors; times are no measure.`,
  );
for (const line of text.split('\n').filter((one) => one.startsWith('{'))) {
  const { name, unit, runs } = JSON.parse(line);
  print(`  ${name.padEnd(48)}${short(runs[0]).padStart(10)} ${unit}`);
}
