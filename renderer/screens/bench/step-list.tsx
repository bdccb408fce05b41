import { useEffect, useRef } from 'react';
import { StatusIcon } from '../../parts/icons.tsx';
import { useSituation, useWording } from '../../workbench.ts';

/** All steps of the job with their states; the one in hand is kept in sight. */
export function StepList() {
  const { job, step } = useSituation();
  const { say, of } = useWording();
  const current = useRef<HTMLLIElement>(null);
  const stepId = step?.stepId;
  // biome-ignore lint/correctness/useExhaustiveDependencies: scrolls when another step comes in hand
  useEffect(() => {
    const item = current.current;
    const list = item?.parentElement;
    if (!item || !list) return;
    const observer = new ResizeObserver(() => {
      // Not scrollIntoView, which would move the whole page when it is enlarged.
      list.scrollTop = item.offsetTop - (list.clientHeight - item.clientHeight) / 2;
    });
    observer.observe(list);
    return () => observer.disconnect();
  }, [stepId]);
  if (job === null) return null;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a list that scrolls must be reachable by keyboard
    <ol className="step-list" aria-label={say('job.steps')} tabIndex={0}>
      {job.sheet.steps.map((one) => {
        const status = job.state.steps.find((state) => state.stepId === one.stepId)?.status ?? 'waiting';
        const isCurrent = one.stepId === stepId;
        return (
          <li
            key={one.stepId}
            ref={isCurrent ? current : null}
            className={isCurrent ? 'is-current' : ''}
            aria-current={isCurrent ? 'step' : undefined}
            data-status={status}
          >
            <StatusIcon status={status} current={isCurrent} />
            <span>
              {of(one.title)}
              <span className="visually-hidden">, {say(`status.${status}`)}</span>
            </span>
          </li>
        );
      })}
    </ol>
  );
}
