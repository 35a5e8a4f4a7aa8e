// Servers that several tests use: started when first asked for, stopped at the end.
import { serve, demo } from './server.js';

const starting = new Map();

/** The server of that name: one workshop for each name, "demo" is the invented one. */
export function server(name) {
  if (!starting.has(name)) starting.set(name, name === 'demo' ? demo() : serve());
  return starting.get(name);
}

export async function stopServers() {
  for (const s of starting.values()) await s.then((x) => x.stop(), () => {});
}
