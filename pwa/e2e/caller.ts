/** Whoever asks the server without a browser: a test that is not about a page pays for none. */
import type { Me, Pull } from '../../schema/types.ts';
import type { Role, Server } from './server.ts';

export class Caller {
  readonly me: Me;
  readonly #url: string;
  readonly #headers: Record<string, string>;

  private constructor(url: string, me: Me, cookie: string) {
    this.#url = url;
    this.me = me;
    this.#headers = { 'content-type': 'application/json', origin: url, cookie };
  }

  /** Pairs as a new device of that role, as a browser does. */
  static async pairs({ server }: { server: Server }, role: Role): Promise<Caller> {
    const code = (await server.pairingLink(role)).split('/').at(-1) ?? '';
    const paired = await answered(`${server.url}/api/pair`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', origin: server.url },
      body: JSON.stringify({ code, name: 'Office' }),
    });
    const cookies = paired.headers.getSetCookie().map((each) => each.split(';')[0]);
    return new Caller(server.url, (await paired.json()) as Me, cookies.join('; '));
  }

  /** What the server gives a page. */
  async view<View>(path: string): Promise<View> {
    return this.#asks<View>(`/api/views/${path}`);
  }

  /** The first hundred notes of the journal. */
  async pulls(): Promise<Pull> {
    return this.#asks<Pull>('/api/pull?epoch=&after=0&limit=100');
  }

  async posts<Answer>(path: string, body?: string): Promise<Answer> {
    return this.#asks<Answer>(path, { method: 'POST', ...(body === undefined ? {} : { body }) });
  }

  /** Takes a phone's access back, as the Phones page does. */
  async revokes(device: string): Promise<void> {
    await answered(`${this.#url}/api/devices/${device}/revoke`, { method: 'POST', headers: this.#headers });
  }

  async #asks<Answer>(path: string, more: RequestInit = {}): Promise<Answer> {
    return (await (await answered(`${this.#url}${path}`, { ...more, headers: this.#headers })).json()) as Answer;
  }
}

async function answered(address: string, asked: RequestInit): Promise<Response> {
  const answer = await fetch(address, asked);
  if (!answer.ok) throw new Error(`${address}: ${answer.status} ${await answer.text()}`);
  return answer;
}
