/**
 * Where this browser remembers whom it pages: a user name. Another person who signs in on a shared
 * device must not take the pages away by looking at a screen.
 */
export const PAGED_KEY = 'lineside-pages-this-device-for';
