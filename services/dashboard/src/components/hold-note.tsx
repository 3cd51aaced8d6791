import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { endHold, readUnit } from '../api/alarm-life-client.ts';
import type { Hold, Unit } from '../api/types.ts';
import { putUnit } from '../state/fleet.ts';
import { mayAct, sessionState } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { holdMeaning, holdWords } from '../words/holds.ts';
import { HoldForm } from './hold-form.tsx';
import { Moment } from './moment.tsx';
import { SureButton } from './sure-button.tsx';

/** Whether the unit's alarms ask nobody for a time, who answers for that, and how to change it. */
export function HoldNote({ unit }: { readonly unit: Unit }): VNode | null {
  const allowed = mayAct(useStore(sessionState));
  const [isOpen, setIsOpen] = useState(false);
  const readAnew = async (): Promise<void> => putUnit(await readUnit(unit.site, unit.unit));
  if (unit.hold !== null) {
    return <InForce hold={unit.hold} zone={unit.timezone} allowed={allowed} readAnew={readAnew} />;
  }
  if (!allowed || unit.retired) return null;
  if (!isOpen) {
    return (
      <p class="hold-start">
        <button type="button" class="button" onClick={() => setIsOpen(true)}>
          Start maintenance, or take it out of service
        </button>
      </p>
    );
  }
  return (
    <HoldForm
      unit={unit}
      onDone={async (started) => {
        if (started) await readAnew();
        setIsOpen(false);
      }}
    />
  );
}

function InForce(props: {
  readonly hold: Hold;
  readonly zone: string;
  readonly allowed: boolean;
  readonly readAnew: () => Promise<void>;
}): VNode {
  const { hold, zone, allowed, readAnew } = props;
  const end = async (): Promise<void> => {
    await endHold(hold.id);
    await readAnew();
  };
  return (
    <section class="hold" aria-label="Hold of this unit">
      <p>
        <strong>{holdWords(hold.kind)}</strong> until <Moment at={hold.until} zone={zone} />, then
        it ends by itself. {hold.owner} answers for it.
      </p>
      <p>Because: {hold.reason}</p>
      <p class="soft">
        {holdMeaning(hold.kind)} Since <Moment at={hold.from} zone={zone} />.
      </p>
      {allowed ? (
        <SureButton words="End it now" sureWords="Yes, its alarms may page again" onSure={end} />
      ) : null}
    </section>
  );
}
