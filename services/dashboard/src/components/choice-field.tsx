import type { VNode } from 'preact';
import { useId } from 'preact/hooks';

/** One of some things, by its value. */
export function ChoiceField(props: {
  readonly label: string;
  readonly value: string;
  readonly choices: readonly { readonly value: string; readonly words: string }[];
  readonly onValue: (value: string) => void;
  /** True where the words are long. */
  readonly wide?: boolean;
}): VNode {
  const id = useId();
  return (
    <div class={props.wide === true ? 'field field-wide' : 'field'}>
      <label for={id}>{props.label}</label>
      <select
        id={id}
        value={props.value}
        onChange={(event) => props.onValue(event.currentTarget.value)}
      >
        {props.choices.map(({ value, words }) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </div>
  );
}
