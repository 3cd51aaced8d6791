import type { VNode } from 'preact';
import { CAUTIONS, DEFERENCE, NO_PROOF } from '../words/safety.ts';
import type { PageSite } from './page-types.ts';
import { dangersWords, NOBODY_ON_ROOF } from './page-words.ts';

/** First of all where something is known to keep people off the roofs. */
export function RoofWarning({ sites }: { readonly sites: readonly PageSite[] }): VNode | null {
  const words = dangersWords(sites);
  if (words === '') return null;
  return (
    <p class="roof-warning">
      <strong>{words}</strong> {NOBODY_ON_ROOF}
    </p>
  );
}

/** Nothing measures lightning, and few sites have a station: who goes there has to look. */
export function LookYourself(): VNode {
  return (
    <p class="look-yourself">
      <strong>Lightning, high wind or ice there?</strong> {NOBODY_ON_ROOF}
    </p>
  );
}

export function Cautions({ heading: Title }: { readonly heading: 'h2' | 'h3' }): VNode {
  return (
    <section class="cautions">
      <Title>Make it safe first</Title>
      <p>
        <strong>{NO_PROOF}</strong>
      </p>
      <ul>
        {CAUTIONS.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <p>{DEFERENCE}</p>
    </section>
  );
}
