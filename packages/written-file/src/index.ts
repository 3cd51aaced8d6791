export { mistakeAt, schemaMistake } from './mistake.ts';
export { section } from './section.ts';
export { WrittenFileError } from './written-file-error.ts';
export { parseWrittenYaml, type WrittenYaml } from './written-yaml.ts';
