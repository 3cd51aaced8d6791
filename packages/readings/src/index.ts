export * from './channels.ts';
