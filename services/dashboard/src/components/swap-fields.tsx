import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { givable, swapOf, turnDate } from '../order/rota-words.ts';
import { ChoiceField } from './choice-field.tsx';
import { type ChangeFieldsProps, shiftChoice } from './cover-fields.tsx';

/** Two shifts of one call whose people change places. */
export function SwapFields({ team, shifts, own, onChange }: ChangeFieldsProps): VNode {
  const { zone, id } = team;
  const choices = givable(shifts, id, own);
  const [oneId, setOneId] = useState(choices[0]?.id ?? '');
  const [otherId, setOtherId] = useState('');
  const one = choices.find((shift) => shift.id === oneId);
  const others =
    one === undefined
      ? []
      : givable(shifts, id, null).filter(
          (shift) =>
            shift.call === one.call &&
            shift.person?.id !== one.person?.id &&
            turnDate(shift, zone) !== turnDate(one, zone),
        );
  const other = others.find((shift) => shift.id === otherId) ?? others[0];
  useEffect(() => {
    onChange(one === undefined || other === undefined ? null : swapOf(one, other, zone));
  }, [oneId, other?.id]);

  if (one === undefined || other === undefined) {
    return <p>There are no two shifts to swap in the coming six weeks.</p>;
  }
  return (
    <>
      <ChoiceField
        label="This shift"
        value={oneId}
        choices={choices.map((shift) => shiftChoice(shift, zone))}
        onValue={setOneId}
        wide
      />
      <ChoiceField
        label="For that one"
        value={other.id}
        choices={others.map((shift) => shiftChoice(shift, zone))}
        onValue={setOtherId}
        wide
      />
    </>
  );
}
