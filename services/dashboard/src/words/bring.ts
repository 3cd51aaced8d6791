import type { CauseEstimate, Nameplate } from '../api/types.ts';

/** Causes below this share of probability add nothing to the bag. No source, a judgement. */
const WORTH_CARRYING = 0.1;

type Item = (plate: Nameplate) => string;

/** Three to fit and three in reserve: the parts list of common practice. */
const fuses: Item = ({ fuses: { class: fuseClass, amps } }) => {
  const rating = [
    fuseClass === null ? null : `class ${fuseClass}`,
    amps === null ? null : `${amps} A`,
  ]
    .filter((part) => part !== null)
    .join(', ');
  return rating === ''
    ? 'Fuses, three plus three (class and rating are not recorded: read them on the unit)'
    : `Fuses ${rating}, three plus three`;
};

const contactor: Item = ({ contactors }) => {
  const known = contactors.map(({ name, poles, flaAmps }) =>
    [
      name,
      poles === null ? null : `${poles} poles`,
      flaAmps === null ? null : `${flaAmps} A full load`,
    ]
      .filter((part) => part !== null)
      .join(' '),
  );
  return known.length === 0
    ? 'Contactor (poles, full-load amps and coil voltage are not recorded)'
    : `Contactor to match: ${known.join('; ')}; check the coil voltage`;
};

const connectors: Item = () => 'Ring and fork connectors';
const cleaner: Item = () => 'Cleaner for contactor and back-plate';
const gasket: Item = () => 'Gasket';
const sealant: Item = () => 'Neutral-cure sealant (acetic silicone corrodes)';
const insulationTester: Item = () => 'Insulation tester';
const clampMeter: Item = () => 'Clamp meter and voltmeter, both proven';
const nodeSpares: Item = () => 'Spare sensor node, its transformers and a battery';

const BAG: Readonly<Record<string, readonly Item[]>> = {
  'line-side-track-to-ground': [fuses, contactor, connectors, cleaner, insulationTester],
  'pole-to-pole-track': [fuses, contactor, connectors, cleaner, insulationTester],
  condensation: [cleaner, gasket],
  'water-ingress': [gasket, sealant, cleaner],
  'load-insulation': [insulationTester, clampMeter],
  'supply-voltage': [clampMeter],
  'worn-pole-or-connection': [contactor, connectors, clampMeter],
  'open-fuse': [fuses, insulationTester, contactor, connectors],
  'disconnect-open-or-fuses-open': [fuses, insulationTester, contactor, connectors],
  'sensor-fault': [nodeSpares],
  'node-offline': [nodeSpares],
  unknown: [clampMeter, insulationTester, fuses],
};

/** What to carry up for these causes, most probable first, each thing once. */
export function whatToBring(causes: readonly CauseEstimate[], plate: Nameplate): readonly string[] {
  const items = [...causes]
    .sort((left, right) => right.probability - left.probability)
    .filter(({ probability }) => probability >= WORTH_CARRYING)
    .flatMap(({ cause }) => BAG[cause] ?? []);
  return [...new Set(items)].map((item) => item(plate));
}
