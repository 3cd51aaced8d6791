export {
  Bystander,
  type BystanderEnd,
  type KeptTroubles,
  type Troubles,
} from './bystander.ts';
export {
  parseServerLine,
  type ServerLine,
  type ServerReadings,
  serverLine,
} from './pipe-lines.ts';
export type { Say } from './teller.ts';
