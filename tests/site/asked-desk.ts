import { answerRemoteCall } from '../../electron/station/serve/remote-calls.ts';
import { SiteDesk } from '../../electron/station/site/desk/site-desk.ts';
import type { CallName, CallParameters, CallResults, News } from '../../shared/contract.ts';
import type { SiteBench } from './site-bench.ts';

/** The desk of a site, asked as a screen asks it. */
export class AskedDesk {
  readonly desk: SiteDesk;
  readonly news: News[] = [];
  /** Mistakes of the program. */
  readonly bugs: unknown[] = [];

  constructor(site: SiteBench, login: string) {
    this.desk = new SiteDesk({
      access: site.access(login),
      wallTime: () => '2026-11-27T10:00:00.000+00:00',
      onBug: (error) => this.bugs.push(error),
      onChange: () => undefined,
    });
  }

  /** What the desk says to a call, refusals and faults too. */
  answer(call: string, parameters: unknown) {
    const session = { tokenHash: '', openedAt: 0, lastActiveAt: 0, personId: 'auditor' };
    const screen = { session, address: '', push: (one: News) => this.news.push(one) };
    return answerRemoteCall(this.desk.calls, screen, call, parameters);
  }

  async call<Name extends CallName>(
    name: Name,
    parameters: CallParameters<Name>,
  ): Promise<CallResults[Name]> {
    const told = await this.answer(name, parameters);
    if (!told.ok) throw new Error(JSON.stringify(told));
    return told.value as CallResults[Name];
  }

  /** Waits for news. */
  async heard<Found extends News>(is: (one: News) => one is Found): Promise<Found> {
    for (;;) {
      const found = this.news.find(is);
      if (found !== undefined) return found;
      await new Promise((done) => setTimeout(done, 20));
    }
  }
}
