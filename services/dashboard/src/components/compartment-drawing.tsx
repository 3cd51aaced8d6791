import type { VNode } from 'preact';
import type { Priority } from '../api/types.ts';
import { type CompartmentPicture, pictureWords } from './compartment-picture.ts';

/**
 * One-line drawing from the feed through fuse, line side and contactor to the load, as on a wiring
 * diagram. The box is the compartment: dots in it mean nearly wet, slanted lines wet. A zigzag
 * is the path that leaks.
 */
export function CompartmentDrawing(props: {
  readonly picture: CompartmentPicture;
  readonly labelled?: boolean;
}): VNode {
  const { picture, labelled = false } = props;
  return (
    <svg
      class={labelled ? 'drawing drawing-large' : 'drawing'}
      viewBox={labelled ? '0 0 168 70' : '0 0 168 56'}
      role="img"
      aria-label={pictureWords(picture)}
    >
      <Box air={picture.air} />
      <path class="wire" d={picture.fuse === 'open' ? 'M2 24H8M30 24H62' : 'M2 24H62'} />
      <Fuse state={picture.fuse} />
      <circle class="terminal" cx="62" cy="24" r="2.6" />
      <Contactor state={picture.contactor} />
      <path class="wire" d="M100 24H138" />
      <circle
        class={picture.contactor === 'closed' ? 'load load-on' : 'load'}
        cx="149"
        cy="24"
        r="11"
      />
      <text
        class={picture.contactor === 'closed' ? 'load-letter on' : 'load-letter'}
        x="149"
        y="28"
      >
        M
      </text>
      {picture.track === null ? null : <Track {...picture.track} />}
      {labelled ? <Labels /> : null}
    </svg>
  );
}

function Box({ air }: { readonly air: CompartmentPicture['air'] }): VNode {
  return (
    <g class={`box box-${air}`}>
      <rect class="box-fill" x="42" y="4" width="72" height="48" />
      <rect class="box-edge" x="42" y="4" width="72" height="48" />
      {air === 'unknown' ? (
        <text class="box-question" x="106" y="16">
          ?
        </text>
      ) : null}
    </g>
  );
}

function Fuse({ state }: { readonly state: CompartmentPicture['fuse'] }): VNode {
  return (
    <g class="fuse">
      <rect x="10" y="18.5" width="20" height="11" />
      {state === 'open' ? <path class="fuse-open" d="M8 34 32 14" /> : null}
    </g>
  );
}

const BLADES = { closed: 'M62 24H100', open: 'M62 24H78M78 24L97 11', unknown: 'M62 24H78' };

function Contactor({ state }: { readonly state: CompartmentPicture['contactor'] }): VNode {
  return (
    <g>
      <path class="wire" d={BLADES[state]} />
      <circle class="contact" cx="78" cy="24" r="1.8" />
      <circle class="contact" cx="100" cy="24" r="1.8" />
      {state === 'unknown' ? <path class="wire wire-unsure" d="M80 24H98" /> : null}
    </g>
  );
}

const TRACKS = {
  'line-side': 'M62 26l-4 4 8 4-8 4 4 4v3',
  'pole-to-pole': 'M62 22l-4-3 8-3-8-3 4-3H50',
  load: 'M126 26l-4 4 8 4-8 4 4 4v3',
  unlocated: 'M89 26l-4 4 8 4-8 4 4 4v3',
};

const GROUNDS = { 'line-side': 62, 'pole-to-pole': null, load: 126, unlocated: 89 };

function Track(props: { readonly place: keyof typeof TRACKS; readonly priority: Priority }): VNode {
  const x = GROUNDS[props.place];
  return (
    <g class={`track track-${props.priority}`}>
      <path d={TRACKS[props.place]} />
      {x === null ? null : <path d={`M${x - 7} 45h14M${x - 4} 48.5h8M${x - 1.5} 52h3`} />}
      {props.place === 'unlocated' ? (
        <text class="box-question" x="99" y="42">
          ?
        </text>
      ) : null}
    </g>
  );
}

function Labels(): VNode {
  return (
    <g class="drawing-labels">
      <text x="20" y="66">
        fuses
      </text>
      <text x="62" y="66">
        line side
      </text>
      <text x="100" y="66">
        contactor
      </text>
      <text x="150" y="66">
        load
      </text>
    </g>
  );
}

/** The fillings that all drawings share; to be put once into the page. */
export function DrawingPatterns(): VNode {
  return (
    <svg class="patterns" width="0" height="0" aria-hidden="true">
      <defs>
        <pattern id="slanted" width="5" height="5" patternUnits="userSpaceOnUse">
          <path class="pattern-line" d="M-1 6 6-1M-1 1 1-1M4 6 6 4" />
        </pattern>
        <pattern id="dotted" width="7" height="7" patternUnits="userSpaceOnUse">
          <circle class="pattern-dot" cx="2" cy="2" r="1" />
        </pattern>
      </defs>
    </svg>
  );
}
