import type { StepStatus } from '../../shared/job/planned-step.ts';
import type { Verdict } from '../state/verdict.ts';

interface IconProperties {
  readonly className?: string;
}

function Icon({ className = '', children }: IconProperties & { children: React.ReactNode }) {
  return (
    <svg className={`icon ${className}`} viewBox="0 0 48 48" aria-hidden="true" focusable="false">
      {children}
    </svg>
  );
}

/** A shape for each verdict: round is good, square is bad, half-filled is conditional, dashed is no verdict. */
export function VerdictIcon({ verdict, className }: IconProperties & { readonly verdict: Verdict }) {
  const properties = className === undefined ? {} : { className };
  switch (verdict) {
    case 'pass':
      return (
        <Icon {...properties}>
          <circle cx="24" cy="24" r="21" fill="currentColor" />
          <path d="M13 25l8 8 14-17" fill="none" stroke="var(--sheet)" strokeWidth="6" />
        </Icon>
      );
    case 'conditional pass':
      return (
        <Icon {...properties}>
          <circle cx="24" cy="24" r="19" fill="none" stroke="currentColor" strokeWidth="4" />
          <path d="M24 5a19 19 0 0 1 0 38z" fill="currentColor" />
        </Icon>
      );
    case 'conditional fail':
      return (
        <Icon {...properties}>
          <rect x="6" y="6" width="36" height="36" fill="none" stroke="currentColor" strokeWidth="4" />
          <path d="M24 6h18v36H24z" fill="currentColor" />
        </Icon>
      );
    case 'fail':
      return (
        <Icon {...properties}>
          <rect x="3" y="3" width="42" height="42" fill="currentColor" />
          <path d="M14 14l20 20M34 14L14 34" fill="none" stroke="var(--sheet)" strokeWidth="6" />
        </Icon>
      );
    case 'short':
      return (
        <Icon {...properties}>
          <path d="M24 5v30M11 23l13 14 13-14M6 44h36" fill="none" stroke="currentColor" strokeWidth="5" />
        </Icon>
      );
    case 'unsettled':
      return (
        <Icon {...properties}>
          <path
            d="M3 24c5-16 9-16 14 0s9 16 14 0 9-16 14 0"
            fill="none"
            stroke="currentColor"
            strokeWidth="5"
          />
        </Icon>
      );
    case 'pulling':
      return (
        <Icon {...properties}>
          <path d="M8 34a18 18 0 1 1 30 4" fill="none" stroke="currentColor" strokeWidth="5" />
          <path d="M30 34l10 8 3-12" fill="none" stroke="currentColor" strokeWidth="5" />
        </Icon>
      );
    case 'absent':
    case 'waiting':
      return (
        <Icon {...properties}>
          <circle
            cx="24"
            cy="24"
            r="19"
            fill="none"
            stroke="currentColor"
            strokeWidth="4"
            strokeDasharray="6 5"
          />
        </Icon>
      );
    case 'stale':
      return (
        <Icon {...properties}>
          <path d="M6 18h12v12H6zM30 18h12v12H30z" fill="none" stroke="currentColor" strokeWidth="4" />
          <path d="M20 40L28 8" stroke="currentColor" strokeWidth="4" />
        </Icon>
      );
  }
}

/** A shape for each state of a step. */
export function StatusIcon({ status, current }: { readonly status: StepStatus; readonly current: boolean }) {
  if (status === 'done') return <VerdictIcon verdict="pass" className="is-pass" />;
  if (status === 'failed') return <VerdictIcon verdict="fail" className="is-fail" />;
  if (status === 'conceded') {
    return (
      <Icon className="is-conditional">
        <path d="M24 3l21 21-21 21L3 24z" fill="none" stroke="currentColor" strokeWidth="4" />
        <path d="M24 3v42L3 24z" fill="currentColor" />
      </Icon>
    );
  }
  if (status === 'noted') {
    return (
      <Icon className="is-conditional">
        <path d="M8 6h32v36H8z" fill="none" stroke="currentColor" strokeWidth="4" />
        <path d="M15 17h18M15 25h18M15 33h10" stroke="currentColor" strokeWidth="4" />
      </Icon>
    );
  }
  if (current) {
    return (
      <Icon className="is-current">
        <path d="M8 4l34 20L8 44z" fill="currentColor" />
      </Icon>
    );
  }
  return <VerdictIcon verdict="waiting" />;
}

/** The triangle of a warning (shape as ISO 3864-1 has it: triangle, yellow ground, black mark). */
export function HazardIcon({ className }: IconProperties) {
  return (
    <svg className={`icon hazard-icon ${className ?? ''}`} viewBox="0 0 48 48" aria-hidden="true">
      <path d="M24 4L46 43H2z" fill="#ffcc00" stroke="#000" strokeWidth="4" strokeLinejoin="round" />
      <path d="M24 17v13" stroke="#000" strokeWidth="5" strokeLinecap="round" />
      <circle cx="24" cy="36.5" r="2.8" fill="#000" />
    </svg>
  );
}

/** Our mark: a band drawn in between two limits, and the plumb that finds it. */
export function Mark({ className }: IconProperties) {
  return (
    <Icon className={`mark ${className ?? ''}`}>
      <path d="M4 30h40M8 22v16M40 22v16" stroke="currentColor" strokeWidth="4" fill="none" />
      <path d="M16 26h16v8H16z" fill="currentColor" />
      <path d="M24 4v8M24 24l-6-9 6-5 6 5z" fill="currentColor" stroke="currentColor" strokeWidth="2" />
    </Icon>
  );
}
