/** Server-sent events as they come. */
export class ServerSent {
  readonly names: string[] = [];
  readonly #stop = new AbortController();

  /** Resolves when the stream is open. */
  static async open(url: string, headers: Readonly<Record<string, string>>): Promise<ServerSent> {
    const stream = new ServerSent();
    const answer = await fetch(url, { headers, signal: stream.#stop.signal });
    if (!answer.ok || answer.body === null) throw new Error(`${url}: ${answer.status}`);
    void stream.#read(answer.body);
    return stream;
  }

  close(): void {
    this.#stop.abort();
  }

  async #read(body: ReadableStream<Uint8Array>): Promise<void> {
    const decoder = new TextDecoder();
    let rest = '';
    try {
      for await (const bytes of body) {
        const lines = `${rest}${decoder.decode(bytes, { stream: true })}`.split('\n');
        rest = lines.pop() ?? '';
        for (const line of lines) {
          const name = /^event: ?(.+)$/.exec(line)?.[1];
          if (name !== undefined) this.names.push(name);
        }
      }
    } catch {
      // Its server was ended, or the test is over.
    }
  }
}
