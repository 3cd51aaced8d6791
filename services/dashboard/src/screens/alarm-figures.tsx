import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { figuresCsvAddress, readAlarmFigures, readPrecision } from '../api/alarm-life-client.ts';
import type { AlarmFigures } from '../api/types.ts';
import { ChoiceField } from '../components/choice-field.tsx';
import { FailureNote } from '../components/failure-note.tsx';
import { FigureTable } from '../components/figure-table.tsx';
import { FrequentAlarms } from '../components/frequent-alarms.tsx';
import { PrecisionTable } from '../components/precision-table.tsx';
import { PriorityTable } from '../components/priority-table.tsx';
import { useAnswer } from '../components/use-answer.ts';
import { goTo } from '../routes/current-route.ts';
import { FIGURE_DAYS, type FigureDays } from '../routes/route.ts';
import { fleet, siteNames } from '../state/fleet.ts';
import { useStore } from '../state/store.ts';
import { partOf } from '../words/figures.ts';

const DAY_MS = 86_400_000;
/** Below this one alarm more or less moves a share by over a hundredth. */
const FEW_ALARMS = 100;

/** How the alarm system itself does, beside what is published for it, and how often it was right. */
export function FiguresScreen({ days }: { readonly days: FigureDays }): VNode {
  const [toMs] = useState(() => Date.now());
  const fromMs = toMs - days * DAY_MS;
  const { answer, failure, readAnew } = useAnswer(`figures ${days}`, () =>
    readAlarmFigures(fromMs, toMs),
  );
  return (
    <>
      <div class="title">
        <h1>Figures of the alarm system</h1>
        <p class="soft">Whether people can answer what it asks, and whether it was right</p>
      </div>
      <fieldset class="buttons">
        <legend>Up to now</legend>
        {FIGURE_DAYS.map((choice) => (
          <button
            key={choice}
            type="button"
            class="button"
            aria-pressed={choice === days}
            onClick={() => goTo({ screen: 'figures', days: choice }, 'replace')}
          >
            {choice} days
          </button>
        ))}
      </fieldset>
      {failure === null ? null : <FailureNote failure={failure} onRetry={readAnew} />}
      {answer === null && failure === null ? <p class="soft">Counting…</p> : null}
      {answer === null ? null : <Scoped figures={answer} csv={figuresCsvAddress(fromMs, toMs)} />}
      <PrecisionOver fromMs={fromMs} toMs={toMs} />
    </>
  );
}

function Scoped(props: { readonly figures: AlarmFigures; readonly csv: string }): VNode {
  const { figures, csv } = props;
  const names = useStore(fleet, siteNames);
  const [chosen, setChosen] = useState('fleet ');
  const keyOf = (item: AlarmFigures['items'][number]): string => `${item.scope} ${item.name}`;
  const keys = [...new Set(figures.items.map(keyOf))];
  const scope = keys.includes(chosen) ? chosen : (keys[0] ?? '');
  const rows = figures.items.filter((item) => keyOf(item) === scope);
  const inPart = (part: ReturnType<typeof partOf>) =>
    rows.filter(({ figure }) => partOf(figure) === part);
  const alarms = rows.find(({ figure }) => figure === 'alarms')?.value ?? 0;
  return (
    <>
      <div class="tools figure-tools">
        <ChoiceField
          label="Alarms of"
          value={scope}
          choices={keys.map((key) => ({ value: key, words: scopeWords(key, names) }))}
          onValue={setChosen}
        />
        <a href={csv} download>
          All of it as CSV
        </a>
      </div>
      <p class="soft measure">
        {scope.startsWith('position')
          ? 'The published targets are meant for one operator position, as this team is.'
          : 'The published targets are meant for one operator position, such as a team on call: ' +
            'here they are a measure only.'}
        {alarms < FEW_ALARMS ? ' Shares of so few alarms say little.' : ''}
      </p>
      <div class="figure-parts">
        <FigureTable heading="How much it asks" rows={inPart('load')} />
        <FigureTable heading="How its alarms behave" rows={inPart('behaviour')} />
        <PriorityTable rows={inPart('priority')} />
        <FrequentAlarms rows={inPart('frequent')} />
      </div>
    </>
  );
}

function scopeWords(key: string, names: ReadonlyMap<string, string>): string {
  const [scope, ...rest] = key.split(' ');
  const name = rest.join(' ');
  if (scope === 'fleet') return 'all sites together';
  return scope === 'position' ? `the team ${name}` : (names.get(name) ?? name);
}

/** Of alarms that were raised in the time. */
function PrecisionOver(props: { readonly fromMs: number; readonly toMs: number }): VNode {
  const { fromMs, toMs } = props;
  const { answer, failure, readAnew } = useAnswer(`precision ${fromMs}`, () =>
    Promise.all([readPrecision('kind', fromMs, toMs), readPrecision('site', fromMs, toMs)]),
  );
  return (
    <section class="group">
      <h2>Was it true?</h2>
      {failure === null ? null : <FailureNote failure={failure} onRetry={readAnew} />}
      {answer === null ? null : (
        <>
          <p class="soft measure">
            Of the alarms that people found true or false. Few verdicts say little: the true share
            lies within the bounds 95 times in 100. Whoever judges only alarms that surprise makes
            it look worse than it is.
          </p>
          <div class="figure-parts">
            <div>
              <PrecisionTable precision={answer[0]} />
            </div>
            <div>
              <PrecisionTable precision={answer[1]} />
            </div>
          </div>
        </>
      )}
    </section>
  );
}
