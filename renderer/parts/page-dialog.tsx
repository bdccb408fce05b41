import { useEffect, useId, useRef } from 'react';
import { useWording, useWorkbench } from '../workbench.ts';
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
  const reference = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    reference.current?.showModal();
    reference.current?.querySelector<HTMLElement>('[data-first]')?.focus();
  }, []);
  const close = () => hands.set({ dialog: null });
  return (
    <dialog
      ref={reference}
      className={wide ? 'dialog is-wide' : 'dialog'}
      aria-labelledby={id}
      onClose={close}
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
      <div className="dialog-body">{children}</div>
    </dialog>
  );
}
