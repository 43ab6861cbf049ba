/** `npm run build`: bin/bedwalk with the phone app inside. */
import { buildSteps, runSteps } from './steps.mjs';

await runSteps(buildSteps).catch((error) => {
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 1;
});
