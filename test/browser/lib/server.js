// Starts the program under test on a free port with data of its own, and stops it again.
import { spawn } from 'node:child_process';
import { mkdtemp, rm, readdir } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';

const root = path.resolve(import.meta.dirname ?? path.dirname(new URL(import.meta.url).pathname), '../../..');
const program = process.env.WITNESSMARK || path.join(root, 'bin', 'witnessmark');

/** Serves an empty workshop, with further arguments where given. */
export async function serve(...more) {
  const data = await mkdtemp(path.join(tmpdir(), 'witnessmark-browser-'));
  const server = await start(['serve', '--data', data, '--name', 'Millrace Garage', '--listen', '127.0.0.1:0', ...more]);
  return { ...server, data, stop: async () => { await server.stop(); await rm(data, { recursive: true, force: true }); } };
}

/** Serves the invented workshop, once all of it is there. */
export async function demo() { return start(['demo', '--listen', '127.0.0.1:0'], 'All there: '); }

// However the tests end, no server stays behind.
const running = new Set();
process.on('exit', () => { for (const child of running) child.kill('SIGKILL'); });
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => process.exit(1));

// start waits for the address, and for further words where given, on standard error. The last lines are kept for failures.
function start(args, ready = '') {
  const child = spawn(program, args, { cwd: root, stdio: ['ignore', 'ignore', 'pipe'] });
  running.add(child);
  const lines = [];
  let exited = null;
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('exit', (code, signal) => { exited = signal ?? code; running.delete(child); reject(new Error(`${args[0]} ended (${exited}) before it listened:\n${lines.join('')}`)); });
    child.stderr.setEncoding('utf8');
    child.stderr.on('data', (text) => {
      lines.push(text);
      if (lines.length > 200) lines.shift();
      const address = /listening on (http:\/\/\S+)/.exec(lines.join(''));
      if (address && lines.join('').includes(ready)) resolve({ url: address[1], log: () => lines.join(''), running: () => exited === null, stop: () => stop(child) });
    });
  });
}

function stop(child) {
  if (child.exitCode !== null || child.signalCode !== null) return Promise.resolve();
  return new Promise((resolve) => { child.once('exit', resolve); child.kill('SIGTERM'); });
}

/** Lists every file below a directory: what is stored can be counted. */
export async function filesBelow(dir) {
  const all = [];
  for (const e of await readdir(dir, { withFileTypes: true }).catch(() => [])) {
    const full = path.join(dir, e.name);
    if (e.isDirectory()) all.push(...await filesBelow(full)); else all.push(full);
  }
  return all;
}

/** Where screenshots go; people look at them, the repository does not keep them. */
export const shots = path.join(root, 'out', 'shots');
