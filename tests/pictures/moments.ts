import type { Page } from 'playwright-core';
import { audit } from './audit-moments.ts';
import { captureFill, fill, handWork, lastAttempt, release, signIn, tighten } from './bench-moments.ts';
import { administrator, lead } from './desk-moments.ts';
import { firstRun } from './first-run-moments.ts';
import type { PictureBench } from './picture-bench.ts';
import { Technician } from './technician.ts';
import { alteredEvidence, laterTroubles, otherDesk, troubles } from './trouble-moments.ts';

/** Takes the picture of a moment under its name; `prepare` brings about what does not last. */
export type Take = (moment: string, prepare?: (page: Page) => Promise<unknown>) => Promise<void>;

/** Every screen and every state that people meet, one after another, each brought about on the real station. */
export async function goThroughMoments(bench: PictureBench, take: Take): Promise<void> {
  const hands = new Technician(bench);
  await signIn(bench, hands, take);
  await handWork(bench, hands, take);
  await fill(bench, hands, take);
  await troubles(bench, hands, take);
  await captureFill(bench, hands, take);
  await tighten(bench, hands, take);
  await release(bench, hands, take);
  await lastAttempt(bench, hands, take);
  await hands.changeTo('DEMO-CEDAR', '7391');
  await lead(bench, hands, take);
  await audit(bench, hands, take);
  await hands.changeTo('DEMO-QUARTZ', '9037');
  await administrator(bench, hands, take);
  await hands.changeTo('DEMO-AMBER', '2580');
  await laterTroubles(bench, hands, take);
  await hands.changeTo('DEMO-FLINT', '8150');
  await alteredEvidence(bench, hands, take);
  await otherDesk(bench, take);
  await firstRun(take);
}
