// Reads a zip archive: name and content of every file. The whole job goes on from what the page saved, so the tests open it themselves.

import { inflateRawSync } from "node:zlib";

const END = 0x06054b50;
const ENTRY = 0x02014b50;
const STORED = 0;
const DEFLATED = 8;

export function unzip(bytes) {
  const end = bytes.lastIndexOf(Buffer.from([0x50, 0x4b, 0x05, 0x06]));
  if (end < 0 || bytes.readUInt32LE(end) !== END) throw new Error("This is no zip archive: its end is missing.");
  const files = new Map();
  let at = bytes.readUInt32LE(end + 16);
  for (let left = bytes.readUInt16LE(end + 10); left > 0; left--) {
    if (bytes.readUInt32LE(at) !== ENTRY) throw new Error("The list of files in this zip archive is damaged.");
    const [name_length, extra, comment] = [28, 30, 32].map((offset) => bytes.readUInt16LE(at + offset));
    const name = bytes.toString("utf8", at + 46, at + 46 + name_length);
    files.set(name, content(bytes, at, name));
    at += 46 + name_length + extra + comment;
  }
  return files;
}

function content(bytes, entry, name) {
  const method = bytes.readUInt16LE(entry + 10);
  const length = bytes.readUInt32LE(entry + 20);
  const local = bytes.readUInt32LE(entry + 42);
  const start = local + 30 + bytes.readUInt16LE(local + 26) + bytes.readUInt16LE(local + 28);
  const packed = bytes.subarray(start, start + length);
  if (method === STORED) return packed;
  if (method === DEFLATED) return inflateRawSync(packed);
  throw new Error(`${name} is packed by method ${method}, which these tests do not know.`);
}
