import type { Beat, NewsKind } from './news.ts';

interface Numbered {
  readonly run: string;
  readonly sequence: number;
}

export interface NewsCountHooks {
  /** Some news were not heard, or none before these: what they told is in the stores. */
  readonly onMissed: () => void;
  /** Ingest was started anew, or serves from now on. */
  readonly onNewRun: () => void;
}

/** Notices which news of ingest got lost, by their numbers. */
export class NewsCount {
  readonly #kinds: readonly NewsKind[];
  readonly #hooks: NewsCountHooks;
  #run: string | null = null;
  #serves = false;
  #heard: Partial<Record<NewsKind, number>> = {};

  /** @param kinds what is heard at all */
  constructor(kinds: readonly NewsKind[], hooks: NewsCountHooks) {
    this.#kinds = kinds;
    this.#hooks = hooks;
  }

  news(kind: NewsKind, { run, sequence }: Numbered): void {
    this.#follow(run);
    const before = this.#heard[kind];
    this.#heard[kind] = Math.max(before ?? 0, sequence);
    if (before !== undefined && sequence > before + 1) this.#hooks.onMissed();
  }

  /** A beat tells as well of the last news, after which no others would show a gap. */
  beat({ run, told, serves }: Pick<Beat, 'run' | 'told' | 'serves'>): void {
    this.#follow(run);
    // What it did while it started was told to nobody.
    let isMissed = serves && !this.#serves;
    if (isMissed) this.#hooks.onNewRun();
    this.#serves = serves;
    for (const kind of this.#kinds) {
      const before = this.#heard[kind];
      if (before !== undefined && told[kind] > before) isMissed = true;
      this.#heard[kind] = Math.max(before ?? 0, told[kind]);
    }
    if (isMissed) this.#hooks.onMissed();
  }

  /** Nothing was heard for a while. */
  forget(): void {
    this.#heard = {};
    this.#hooks.onMissed();
  }

  #follow(run: string): void {
    if (run === this.#run) return;
    this.#run = run;
    this.#serves = false;
    this.#heard = {};
    this.#hooks.onNewRun();
    this.#hooks.onMissed();
  }
}
