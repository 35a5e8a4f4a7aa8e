// Pictures for the tests, made here so that none has to be kept: a PNG that decodes, and JPEG heads that lie.
import { deflateSync } from 'node:zlib';

const table = Array.from({ length: 256 }, (_, n) => { for (let k = 0; k < 8; k++) n = n & 1 ? 0xedb88320 ^ (n >>> 1) : n >>> 1; return n >>> 0; });
const crc = (bytes) => (bytes.reduce((c, b) => table[(c ^ b) & 255] ^ (c >>> 8), 0xffffffff) ^ 0xffffffff) >>> 0;

function chunk(type, body) {
  const head = Buffer.alloc(8), tail = Buffer.alloc(4), named = Buffer.concat([Buffer.from(type), body]);
  head.writeUInt32BE(body.length);
  head.write(type, 4);
  tail.writeUInt32BE(crc(named));
  return Buffer.concat([head, body, tail]);
}

/** A PNG of stripes. */
export function png(width, height) {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 2, 0, 0, 0], 8);
  const rows = Buffer.alloc((width * 3 + 1) * height);
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) {
    const i = y * (width * 3 + 1) + 1 + x * 3;
    rows.set((x + y) % 32 < 16 ? [60, 90, 120] : [230, 228, 220], i);
  }
  return Buffer.concat([Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), chunk('IHDR', header), chunk('IDAT', deflateSync(rows)), chunk('IEND', Buffer.alloc(0))]);
}

/** The head of a JPEG that claims to be that large, with nothing behind it. */
export function jpegHead(width, height) {
  const sof = Buffer.from([0xff, 0xc0, 0, 17, 8, 0, 0, 0, 0, 3, 1, 0x22, 0, 2, 0x11, 1, 3, 0x11, 1]);
  sof.writeUInt16BE(height, 5);
  sof.writeUInt16BE(width, 7);
  return Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16]), Buffer.from('JFIF\0'), Buffer.from([1, 1, 0, 0, 1, 0, 1, 0, 0]), sof]);
}
