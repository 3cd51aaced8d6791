import type { Socket } from 'node:net';
import { ApiError } from './api-error.ts';
import type { ProblemCode } from './problem-table.ts';
import { headersOf, PROBLEM_TYPE, problemOf } from './send-problem.ts';

/** Answers what is not even HTTP, then closes the connection. */
export function answerBrokenRequest(error: NodeJS.ErrnoException, socket: Socket): void {
  if (!socket.writable || error.code === 'ECONNRESET') {
    socket.destroy();
    return;
  }
  const code: ProblemCode =
    error.code === 'HPE_HEADER_OVERFLOW' ? 'API_HEADERS_TOO_LARGE' : 'API_BAD_REQUEST';
  const failure = new ApiError(code, 'The request is not valid HTTP.');
  const problem = problemOf(failure);
  const body = JSON.stringify(problem);
  const fields = {
    ...headersOf(failure),
    'content-type': PROBLEM_TYPE,
    'content-length': String(Buffer.byteLength(body)),
    connection: 'close',
  };
  const lines = Object.entries(fields).map(([name, value]) => `${name}: ${value}\r\n`);
  socket.end(`HTTP/1.1 ${problem.status} ${problem.title}\r\n${lines.join('')}\r\n${body}`);
}
