import { useEffect, useId, useLayoutEffect, useRef } from 'react';
import { closedDialog, isUnusedScan } from '../state/screen-store.ts';
import { useSituation, useWording, useWorkbench } from '../workbench.ts';
import { VerdictIcon } from './icons.tsx';
import { KeyCap } from './key-cap.tsx';
import { SimulatedBanner } from './simulated-banner.tsx';

interface PageDialogProperties {
  readonly title: string;
  readonly wide?: boolean;
  readonly children: React.ReactNode;
}

/** A modal dialog of the platform: it keeps the focus, Escape closes it, the page behind it is inert. */
export function PageDialog({ title, wide = false, children }: PageDialogProperties) {
  const { hands } = useWorkbench();
  const { say } = useWording();
  const { notice } = useSituation().screen;
  const reference = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    reference.current?.showModal();
    reference.current?.querySelector<HTMLElement>('[data-first]')?.focus();
  }, []);
  // Before it leaves the page: the platform then gives the focus back to where it was.
  useLayoutEffect(() => {
    const dialog = reference.current;
    return () => dialog?.close();
  }, []);
  const close = () => hands.set(closedDialog({ notice }));
  return (
    <dialog
      ref={reference}
      className={wide ? 'dialog is-wide' : 'dialog'}
      aria-labelledby={id}
      onClose={() => {
        // One that has left the page already closes nothing: another may be open by now.
        if (reference.current !== null) close();
      }}
      data-testid="dialog"
    >
      <SimulatedBanner />
      <header className="dialog-head">
        <h2 id={id}>{title}</h2>
        <button type="button" className="action" onClick={close} data-testid="dialog-close">
          <KeyCap name="Escape" />
          <span className="action-label">{say('action.close')}</span>
        </button>
      </header>
      {/* The sentence of the page lies behind the dialog. */}
      {isUnusedScan(notice) && (
        <p className="dialog-notice" role="alert" data-testid="dialog-notice">
          <VerdictIcon verdict="conditional fail" />
          <span>{say('scan.unused')}</span>
        </p>
      )}
      <div className="dialog-body">{children}</div>
    </dialog>
  );
}
