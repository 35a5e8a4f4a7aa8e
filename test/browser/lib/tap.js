// A small runner: tests run one after the other in the order written, each prints a TAP line, and a failure shows
// its error and whatever the test kept as trace. A file's tests that build on each other say so with `after`.

const tests = [];

/** Registers a test. With `after`, it fails at once when the test of that name failed: its ground is missing. */
export function test(name, run, { after } = {}) { tests.push({ name, run, after }); }

/** Runs everything whose name contains the filter, and returns the number of failures. */
export async function runAll({ filter = '', seconds = 300 } = {}) {
  const failed = new Set();
  let n = 0;
  const wanted = new Set(tests.filter((t) => t.name.includes(filter)).map((t) => t.name));
  // What a chosen test builds on runs as well; it stands before it in the list.
  for (const t of [...tests].reverse()) if (wanted.has(t.name) && t.after) wanted.add(t.after);
  const chosen = tests.filter((t) => wanted.has(t.name));
  console.log('TAP version 13');
  for (const t of chosen) {
    const began = Date.now();
    const trace = [];
    let problem = t.after && failed.has(t.after) ? new Error(`“${t.after}” failed, on which this builds`) : null;
    if (!problem) problem = await attempt(t, trace, seconds);
    else problem.stack = '';
    const time = `${((Date.now() - began) / 1000).toFixed(1)} s`;
    console.log(`${problem ? 'not ok' : 'ok'} ${++n} - ${t.name} (${time})`);
    if (!problem) continue;
    failed.add(t.name);
    for (const line of [...String(problem.stack || problem.message || problem).split('\n'), ...trace.map((s) => `trace: ${s}`)]) console.log(`  # ${line}`);
  }
  console.log(`1..${n}`);
  if (n === 0) console.log('not ok - no test was chosen');
  return failed.size + (n === 0 ? 1 : 0);
}

async function attempt(t, trace, seconds) {
  let timer;
  const late = new Promise((_, reject) => { timer = setTimeout(() => reject(new Error(`not finished after ${seconds} s`)), seconds * 1000); });
  try {
    await Promise.race([t.run((line) => trace.push(line)), late]);
    return null;
  } catch (e) { return e; } finally { clearTimeout(timer); }
}
