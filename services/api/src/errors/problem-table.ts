/** Every problem the API answers with: its stable code, status and title. Codes are never reused. */
export const PROBLEMS = {
  API_BAD_REQUEST: { status: 400, title: 'The request is not valid' },
  API_MALFORMED_BODY: { status: 400, title: 'The body is not valid JSON' },
  API_NOT_SIGNED_IN: { status: 401, title: 'Sign-in is needed' },
  API_BAD_CREDENTIALS: { status: 401, title: 'The name and password do not fit' },
  API_FORBIDDEN: { status: 403, title: 'The role does not allow this' },
  API_FOREIGN_ORIGIN: { status: 403, title: 'The request does not come from this page' },
  API_NOT_FOUND: { status: 404, title: 'Not found' },
  API_CONFLICT: { status: 409, title: 'The state does not allow this' },
  API_BODY_TOO_LARGE: { status: 413, title: 'The body is too large' },
  API_UNSUPPORTED_TYPE: { status: 415, title: 'The content type is not supported' },
  API_TOO_MANY_REQUESTS: { status: 429, title: 'Too many requests' },
  API_HEADERS_TOO_LARGE: { status: 431, title: 'The header fields are too large' },
  API_INTERNAL: { status: 500, title: 'The server failed' },
  API_STORE_UNAVAILABLE: { status: 503, title: 'The store does not answer' },
  API_TOO_MANY_STREAMS: { status: 503, title: 'Too many open event streams' },
} as const;

export type ProblemCode = keyof typeof PROBLEMS;
