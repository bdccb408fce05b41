import { type Action, atBench } from './action.ts';

/** Shows what else can be done with the job: hold, hand over, abandon, a lead's decision. */
export const showJobMenu: Action = {
  id: 'show-job-menu',
  key: 'F7',
  place: 'bar',
  label: () => 'action.showJobMenu',
  offered: (situation) => atBench(situation) && ['step', 'complete', 'held'].includes(situation.phase),
  enabled: () => true,
  run(_situation, hands) {
    hands.open({ kind: 'menu', menu: 'job' });
  },
};
