/** Answers as a server, a proxy or a broken network gives them. */
export function json(body: unknown): Response {
  return new Response(JSON.stringify(body), { headers: { 'content-type': 'application/json' } });
}

/** What comes when the one who asks has waited long enough. */
export function never(signal: AbortSignal | null | undefined): Promise<never> {
  return new Promise((_, fail) => signal?.addEventListener('abort', () => fail(signal.reason as Error)));
}

/** An answer of which the beginning came, and then what is given. */
export function begun(answer: Response, rest: Promise<never>): Response {
  const body = new ReadableStream({
    start(stream) {
      stream.enqueue(new TextEncoder().encode('{"'));
      rest.catch((error: unknown) => stream.error(error));
    },
  });
  return new Response(body, { status: answer.status, headers: answer.headers });
}

export function problem(status: number, code: string, more: object = {}): Response {
  const body = { type: '', title: code, status, code, detail: code, remedy: '', ...more };
  return new Response(JSON.stringify(body), { status, headers: { 'content-type': 'application/problem+json' } });
}

/** What a server answers that has so much and no more, by path. */
export function answerOf(answers: Readonly<Record<string, unknown>>, path: string): Response {
  const answer = answers[path];
  return answer === undefined ? problem(404, 'not_found', { detail: 'No such thing.' }) : json(answer);
}

/** Nothing, where a hash cannot be made. */
export function orNothing(hash: () => bigint): bigint {
  try {
    return hash();
  } catch {
    return 0n;
  }
}
