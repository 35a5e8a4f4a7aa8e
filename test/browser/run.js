// Runs the browser tests; an argument chooses those whose name contains it. Prints TAP. Needs bin/witnessmark (or
// WITNESSMARK=path) and Chromium.
import { open, close } from './lib/browser.js';
import { runAll } from './lib/tap.js';
import { stopServers } from './lib/shared.js';

await import('./whole_path.js');
await import('./without_script.js');
await import('./states.js');
await import('./bad_input.js');
await import('./offline.js');
await import('./sums.js');
await import('./causes.js');
await import('./offer.js');
await import('./foresee.js');
await import('./prices.js');
await import('./plan.js');
await import('./estimate.js');
await import('./due.js');
await import('./twice.js');
await import('./dealings.js');
await import('./closeback.js');
await import('./demo.js');

console.log(`# Chromium ${await open()}, node ${process.version}`);
const failures = await runAll({ filter: process.argv[2] });
await close();
await stopServers();
process.exit(failures ? 1 : 0);
