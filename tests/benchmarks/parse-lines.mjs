/** Splits a file into lines and calls JSON.parse on each: what `back-test.ts` compares with. */
import { createReadStream } from 'node:fs';
import { argv } from 'node:process';

const CHUNK_BYTES = 262_144;

let rest = '';
let sum = 0;
for await (const chunk of createReadStream(argv[2], { highWaterMark: CHUNK_BYTES })) {
  const lines = (rest + chunk.toString()).split('\n');
  rest = lines.pop();
  for (const line of lines) sum += JSON.parse(line).rh;
}
if (!(sum > 0)) throw new Error('the readings have no humidity');
