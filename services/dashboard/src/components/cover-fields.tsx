import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { RotaChange, RotaTeam, Shift } from '../api/types.ts';
import { callWords, coverOf, givable, spanWords, takers } from '../order/rota-words.ts';
import { localFieldValue, zoneName } from '../words/times.ts';
import { ChoiceField } from './choice-field.tsx';
import { Field } from './field.tsx';

export interface ChangeFieldsProps {
  readonly team: RotaTeam;
  readonly people: readonly { readonly id: string; readonly name: string }[];
  /** Of the team. */
  readonly shifts: readonly Shift[];
  readonly own: string | null;
  /** The change as it is stated, or null while something is missing. */
  readonly onChange: (change: RotaChange | null) => void;
}

const nameIn = (people: ChangeFieldsProps['people'], id: string): string =>
  people.find((person) => person.id === id)?.name ?? id;

export const shiftChoice = (
  shift: Shift,
  zone: string,
): { readonly value: string; readonly words: string } => ({
  value: shift.id,
  words: `${shift.person?.name}, ${callWords(shift.call).toLowerCase()}, ${spanWords(shift, zone, Date.now())}`,
});

/** Whose shift, who takes it, and from when to when. */
export function CoverFields({ team, people, shifts, own, onChange }: ChangeFieldsProps): VNode {
  const { zone } = team;
  const choices = givable(shifts, team.id, own);
  const [shiftId, setShiftId] = useState(choices[0]?.id ?? '');
  const shift = choices.find(({ id }) => id === shiftId);
  const [by, setBy] = useState('');
  const [from, setFrom] = useState('');
  const [to, setTo] = useState('');
  const others = shift === undefined ? [] : takers(team, shift);
  const taker = others.includes(by) ? by : (others[0] ?? '');

  // Another shift begins with the whole of what is left of it.
  useEffect(() => {
    if (shift === undefined) return;
    setFrom(localFieldValue(Math.max(Date.parse(shift.from), Date.now()), zone));
    setTo(localFieldValue(Date.parse(shift.to), zone));
  }, [shiftId, zone]);
  useEffect(() => {
    const isWhole = shift !== undefined && taker !== '' && from !== '' && to !== '';
    onChange(isWhole ? coverOf(shift, taker, from, to) : null);
  }, [shiftId, taker, from, to]);

  if (shift === undefined) return <p>There is no shift to give away in the coming six weeks.</p>;
  return (
    <>
      <ChoiceField
        label="Whose shift"
        value={shiftId}
        choices={choices.map((one) => shiftChoice(one, zone))}
        onValue={setShiftId}
        wide
      />
      <ChoiceField
        label="Who takes it"
        value={taker}
        choices={others.map((id) => ({ value: id, words: nameIn(people, id) }))}
        onValue={setBy}
        wide
      />
      <Field
        label={`From, by the clock of the team (${zoneName(Date.now(), zone)})`}
        type="datetime-local"
        value={from}
        onValue={setFrom}
        required
      />
      <Field label="To" type="datetime-local" value={to} onValue={setTo} required />
    </>
  );
}
