import type { VNode } from 'preact';
import type { Nameplate, Unit } from '../api/types.ts';
import { quantity } from '../words/quantities.ts';
import { groundingWords } from '../words/vocabulary.ts';
import { LedgerLine } from './condition-ledger.tsx';

const NODE_SUPPLIES = { battery: 'battery', 'unit-24v': 'the unit’s 24 V' };

function fuseWords({ fuses }: Nameplate): string | null {
  const parts = [
    ...(fuses.class === null ? [] : [`class ${fuses.class}`]),
    ...(fuses.amps === null ? [] : [quantity(fuses.amps, 'A', 0)]),
  ];
  return parts.length === 0 ? null : parts.join(', ');
}

function contactorWords({ contactors }: Nameplate): string | null {
  const known = contactors.map(({ name, load, poles, flaAmps }) => {
    const parts = [
      ...(load === null ? [] : [load]),
      ...(poles === null ? [] : [`${poles} poles`]),
      ...(flaAmps === null ? [] : [`${quantity(flaAmps, 'A', 0)} full load`]),
    ];
    return `${name}: ${parts.join(', ')}`;
  });
  return known.length === 0 ? null : known.join('; ');
}

/** What is written on the unit, and what is assumed of it. */
export function NameplateLedger({ unit }: { readonly unit: Unit }): VNode {
  const { nameplate } = unit;
  const { supply, nodeSupply } = nameplate;
  return (
    <section class="nameplate" aria-labelledby="nameplate-heading">
      <h2 id="nameplate-heading">Nameplate</h2>
      <dl class="ledger">
        <LedgerLine name="Supply">
          {quantity(supply.volts, 'V', 0)}, {quantity(supply.hertz, 'Hz', 0)}
        </LedgerLine>
        <LedgerLine name="Grounding">
          {groundingWords(supply.grounding)}
          {supply.groundingAssumed ? <strong> (assumed: not recorded)</strong> : null}
        </LedgerLine>
        <LedgerLine name="Circuit, at least">
          {supply.mcaAmps === null ? null : quantity(supply.mcaAmps, 'A', 0)}
        </LedgerLine>
        <LedgerLine name="Protection, at most">
          {supply.mopAmps === null ? null : quantity(supply.mopAmps, 'A', 0)}
        </LedgerLine>
        <LedgerLine name="Fuses">{fuseWords(nameplate)}</LedgerLine>
        <LedgerLine name="Contactors">{contactorWords(nameplate)}</LedgerLine>
        <LedgerLine name="Drive or large filter">{nameplate.drive ? 'yes' : 'no'}</LedgerLine>
        <LedgerLine name="Node fed from">
          {nodeSupply === null ? null : NODE_SUPPLIES[nodeSupply]}
        </LedgerLine>
      </dl>
    </section>
  );
}
