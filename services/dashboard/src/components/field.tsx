import type { VNode } from 'preact';
import { useId } from 'preact/hooks';

/** One labelled line of a form, with an optional word of advice below it. */
export function Field(props: {
  readonly label: string;
  readonly value: string;
  readonly onValue: (value: string) => void;
  readonly type?: 'text' | 'password' | 'datetime-local' | 'number' | 'search';
  readonly autocomplete?: string;
  readonly advice?: string;
  readonly required?: boolean;
  readonly minLength?: number;
}): VNode {
  const id = useId();
  // The typings tie `role` to each single type; no role is given here, so any type will do.
  const type = (props.type ?? 'text') as 'text';
  const advised = props.advice !== undefined;
  return (
    <div class="field">
      <label for={id}>{props.label}</label>
      <input
        id={id}
        type={type}
        value={props.value}
        autocomplete={props.autocomplete ?? 'off'}
        required={props.required ?? false}
        {...(props.minLength === undefined ? {} : { minLength: props.minLength })}
        {...(advised ? { 'aria-describedby': `${id}-advice` } : {})}
        onInput={(event) => props.onValue(event.currentTarget.value)}
      />
      {advised ? (
        <p class="soft" id={`${id}-advice`}>
          {props.advice}
        </p>
      ) : null}
    </div>
  );
}
