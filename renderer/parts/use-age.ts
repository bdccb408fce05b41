import { useEffect, useState } from 'react';
import { useWorkbench } from '../workbench.ts';

/** Milliseconds since the newest reading came, looked at four times a second; null without one. */
export function useAge(instrumentId: string | null): number | null {
  const { live } = useWorkbench();
  const [age, setAge] = useState(() => roughly(live.age(instrumentId)));
  useEffect(() => {
    const look = () => setAge(roughly(live.age(instrumentId)));
    look();
    const timer = setInterval(look, 250);
    return () => clearInterval(timer);
  }, [live, instrumentId]);
  return age;
}

/** Half seconds, so that a living instrument causes no drawing. */
function roughly(age: number | null): number | null {
  return age === null ? null : Math.floor(age / 500) * 500;
}
