// Servers that several tests use: started when first asked for, stopped at the end.
import { serve, demo } from './server.js';

const starting = new Map();

/** The server of that name: one workshop for each name, "demo" is the invented one. A name may bring its own way to `start` it. */
export function server(name, start = name === 'demo' ? demo : serve) {
  if (!starting.has(name)) starting.set(name, start());
  return starting.get(name);
}

export async function stopServers() {
  for (const s of starting.values()) await s.then((x) => x.stop(), () => {});
}
