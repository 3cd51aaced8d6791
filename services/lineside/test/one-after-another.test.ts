import { expect, it } from 'vitest';
import { oneAfterAnother } from '../src/serve/one-after-another.ts';

function asking() {
  const answers: ((count: number) => void)[] = [];
  const failures: ((error: Error) => void)[] = [];
  let asked = 0;
  const ask = oneAfterAnother(() => {
    asked += 1;
    return new Promise<number>((resolve, reject) => {
      answers.push(resolve);
      failures.push(reject);
    });
  });
  return { ask, answers, failures, count: () => asked };
}

/** Lets everything that waits for a promise go on. */
const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

it('asks anew for whoever comes while a question is under way, once for all of them', async () => {
  const { ask, answers, count } = asking();
  const first = ask();
  const others = [ask(), ask(), ask()];
  expect(count()).toBe(1);
  answers[0]?.(1);
  expect(await first).toBe(1);
  await settled();
  expect(count()).toBe(2);
  const late = ask();
  answers[1]?.(2);
  expect(await Promise.all(others)).toEqual([2, 2, 2]);
  await settled();
  expect(count()).toBe(3);
  answers[2]?.(3);
  expect(await late).toBe(3);
  void ask();
  expect(count()).toBe(4);
});

it('goes on after a question that failed, and tells its failure to who asked it alone', async () => {
  const { ask, answers, failures } = asking();
  const first = ask();
  const second = ask();
  failures[0]?.(new Error('no answer'));
  await expect(first).rejects.toThrow('no answer');
  await settled();
  answers[1]?.(2);
  expect(await second).toBe(2);
});
