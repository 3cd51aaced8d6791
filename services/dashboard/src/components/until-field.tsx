import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Hold } from '../api/types.ts';
import { holdEnds } from '../order/hold-ends.ts';
import { instantOfLocal, localFieldValue, zoneName } from '../words/times.ts';
import { ChoiceField } from './choice-field.tsx';
import { Field } from './field.tsx';

const OTHER = 'other';

/** When a hold ends: one of the usual ends, or a time typed in. Null for what is no time. */
export function UntilField(props: {
  readonly kind: Hold['kind'];
  readonly zone: string;
  readonly onUntil: (untilMs: number | null) => void;
}): VNode {
  const { kind, zone, onUntil } = props;
  const [ends] = useState(() => holdEnds(kind, Date.now(), zone));
  const [firstMs] = ends.map(({ atMs }) => atMs);
  const [chosen, setChosen] = useState(String(firstMs));
  const [local, setLocal] = useState(() => localFieldValue(firstMs ?? Date.now(), zone));
  const untilMs = chosen === OTHER ? instantOfLocal(local, zone) : Number(chosen);
  useEffect(() => onUntil(untilMs), [untilMs]);
  return (
    <>
      <ChoiceField
        label="For"
        value={chosen}
        choices={[
          ...ends.map(({ atMs, words }) => ({ value: String(atMs), words })),
          { value: OTHER, words: 'until another time' },
        ]}
        onValue={setChosen}
      />
      {chosen === OTHER ? (
        <Field
          label={`Until, at the site (${zoneName(Date.now(), zone)})`}
          type="datetime-local"
          value={local}
          onValue={setLocal}
          required
        />
      ) : null}
    </>
  );
}
