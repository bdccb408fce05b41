import { Component, type ReactNode } from 'react';

interface MistakeScreenProperties {
  readonly title: string;
  readonly next: string;
  readonly children: ReactNode;
}

/** Stands in for the page when a bug broke it: nothing is lost, the station keeps the job. */
export class MistakeScreen extends Component<MistakeScreenProperties, { readonly broken: boolean }> {
  override state = { broken: false };

  static getDerivedStateFromError(): { readonly broken: boolean } {
    return { broken: true };
  }

  override render(): ReactNode {
    const { title, next, children } = this.props;
    if (!this.state.broken) return children;
    return (
      <div className="overlay" role="alert" data-testid="mistake">
        <div className="overlay-box">
          <p className="overlay-main">{title}</p>
          <button type="button" className="action is-main" onClick={() => location.reload()}>
            <span className="action-label">{next}</span>
          </button>
        </div>
      </div>
    );
  }
}
