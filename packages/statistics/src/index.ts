export * from './incomplete-beta.ts';
export * from './mann-kendall.ts';
export * from './normal.ts';
export * from './sens-slope.ts';
export * from './student-t.ts';
export * from './wilson-interval.ts';
