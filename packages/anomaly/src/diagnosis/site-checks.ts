import type { Cause } from '../vocabulary.ts';

/** Something a technician can look at or measure, and how often each cause would show in it. */
export interface SiteCheck {
  /** At most 100 characters. */
  readonly words: string;
  /**
   * Share of units with that cause in which the check finds something; a cause that is not named
   * has `SELDOM`. Common practice, no source.
   */
  readonly shows: Readonly<Partial<Record<Cause, number>>>;
  /** Needs everything that an insulation test would harm isolated first. */
  readonly isInsulationTest: boolean;
}

export const SELDOM = 0.05;

function look(words: string, shows: SiteCheck['shows']): SiteCheck {
  return { words, shows, isInsulationTest: false };
}

function insulationTest(words: string, shows: SiteCheck['shows']): SiteCheck {
  return { words, shows, isInsulationTest: true };
}

/** Of equal worth the first comes first: what needs no tool before what does. */
export const SITE_CHECKS: readonly SiteCheck[] = [
  look('Look for tracking marks on contactor bodies and back-plate, to ground and pole to pole', {
    'line-side-track-to-ground': 0.8,
    'pole-to-pole-track': 0.8,
    'water-ingress': 0.2,
    unknown: 0.1,
  }),
  look('Feel for water: back-plate, drain, below the conduit entries', {
    'water-ingress': 0.85,
    condensation: 0.5,
    'humid-weather': 0.3,
    'line-side-track-to-ground': 0.4,
    'pole-to-pole-track': 0.4,
  }),
  look('Look at gasket, conduit seals and drain: which one lets water or building air in?', {
    'water-ingress': 0.8,
    condensation: 0.15,
    'line-side-track-to-ground': 0.3,
    unknown: 0.15,
  }),
  look('See whether the disconnect is open, and ask who opened it', {
    'disconnect-open-or-fuses-open': 0.5,
  }),
  look('Volts ahead of the disconnect: is the supply there on all phases?', {
    'utility-outage': 0.95,
    'supply-voltage': 0.5,
  }),
  look('Check each fuse for continuity out of its clip; look for a heat mark at the clip', {
    'open-fuse': 0.95,
    'disconnect-open-or-fuses-open': 0.5,
    'worn-pole-or-connection': 0.1,
  }),
  look('Compare volts phase to phase at the line side while it runs', {
    'supply-voltage': 0.95,
    'open-fuse': 0.5,
    'utility-outage': 0.6,
  }),
  look('Volts across each closed pole and terminal under load: one that drops is burnt', {
    'worn-pole-or-connection': 0.9,
    'open-fuse': 0.1,
  }),
  look('Clamp the leakage and let the loads drop one by one: which one takes it away?', {
    'load-insulation': 0.9,
    unknown: 0.3,
    'line-side-track-to-ground': 0.03,
  }),
  insulationTest(
    'Measure the insulation of the line side with contactors open, each phase to ground and phase to phase',
    {
      'line-side-track-to-ground': 0.75,
      'pole-to-pole-track': 0.75,
      'water-ingress': 0.2,
      'open-fuse': 0.3,
      unknown: 0.1,
    },
  ),
  insulationTest('Measure the insulation of each load past its contactor, one at a time', {
    'load-insulation': 0.9,
    'open-fuse': 0.3,
    'disconnect-open-or-fuses-open': 0.2,
  }),
  look('Torque line and load terminals to the nameplate; look for melted plastic', {
    'worn-pole-or-connection': 0.6,
    'open-fuse': 0.1,
  }),
  look('Hold a second meter beside the sensor: clamp, humidity or volts', {
    'sensor-fault': 0.9,
  }),
  look('See the node: its supply, its lead and whether the gateway hears others', {
    'node-offline': 0.9,
    'sensor-fault': 0.2,
  }),
  look('Part filter, drive, heater and arrester from the feed in turn and read leakage again', {
    unknown: 0.3,
    'load-insulation': 0.2,
  }),
];
