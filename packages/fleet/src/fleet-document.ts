import type { StatedLimits } from './limits.ts';
import type { Grounding } from './unit.ts';

/** What a fleet file states, checked but without defaults; what it omits is absent. */
export interface FleetDocument {
  /** For messages. */
  readonly fileName: string;
  readonly sites: readonly StatedSite[];
}

export interface StatedSite extends SiteFields {
  readonly units: readonly StatedUnit[];
}

export interface SiteFields {
  readonly id: string;
  readonly name?: string | undefined;
  readonly timezone?: string | undefined;
  /** Degrees north. */
  readonly latitude?: number | undefined;
  /** Degrees east. */
  readonly longitude?: number | undefined;
}

export interface StatedSupply {
  /** V, line to line. */
  readonly volts: number;
  readonly hertz?: number | undefined;
  readonly grounding?: Grounding | undefined;
  /** A, minimum circuit ampacity. */
  readonly mca?: number | undefined;
  /** A, maximum overcurrent protection. */
  readonly mop?: number | undefined;
}

export interface StatedContactor {
  readonly name: string;
  readonly load?: string | undefined;
  readonly poles?: number | undefined;
  /** A, full load. */
  readonly fla?: number | undefined;
}

export interface StatedUnit {
  readonly id: string;
  readonly name?: string | undefined;
  readonly supply: StatedSupply;
  readonly fuses?:
    | { readonly class?: string | undefined; readonly amps?: number | undefined }
    | undefined;
  readonly contactors?: readonly StatedContactor[] | undefined;
  readonly drive?: boolean | undefined;
  readonly access?: string | undefined;
  /** Metres. */
  readonly roof?: { readonly x: number; readonly y: number } | undefined;
  readonly node?: { readonly supply?: 'battery' | 'unit-24v' | undefined } | undefined;
  readonly limits?: StatedLimits | undefined;
}
