/** A piece of a page that is never split. Drawn with its top at `top`. */
export interface Fragment {
  readonly height: number;
  /** Kept free above it, except at the top of a page. */
  readonly gap?: number;
  /** Never the last on a page while more follows: headings, first lines. */
  readonly keepWithNext?: boolean;
  /** Drawn at the top of a page that begins with this fragment: the heading it belongs to, table labels. */
  readonly repeat?: Fragment;
  draw(top: number): void;
}

/** A fragment with its place on a page. */
export interface PlacedFragment {
  readonly fragment: Fragment;
  readonly top: number;
}

/**
 * Puts fragments on pages, in order. Fragments that keep with the next go over together with it, as long as they fit
 * on one page at all.
 *
 * @param height of the part of the page that is for them, from 0
 * @returns the pages, at least one
 */
export function flowPages(
  fragments: readonly Fragment[],
  height: number,
): readonly (readonly PlacedFragment[])[] {
  const pages: PlacedFragment[][] = [[]];
  let used = 0;
  const place = (fragment: Fragment, isRepeat: boolean): void => {
    const page = pages.at(-1) ?? [];
    const gap = page.length === 0 ? 0 : (fragment.gap ?? 0);
    if (!isRepeat && page.length === 0 && pages.length > 1 && fragment.repeat !== undefined) {
      place(fragment.repeat, true);
      place(fragment, true);
      return;
    }
    page.push({ fragment, top: used + gap });
    used += gap + fragment.height;
  };
  for (const run of runsOf(fragments)) {
    const needed = run.reduce((sum, fragment) => sum + fragment.height + (fragment.gap ?? 0), 0);
    if (used > 0 && used + needed > height && needed <= height) {
      pages.push([]);
      used = 0;
    }
    for (const fragment of run) {
      if (used > 0 && used + (fragment.gap ?? 0) + fragment.height > height) {
        pages.push([]);
        used = 0;
      }
      place(fragment, false);
    }
  }
  return pages;
}

/** Groups that stay on one page: everything up to and with the first that may be the last on a page. */
function runsOf(fragments: readonly Fragment[]): readonly (readonly Fragment[])[] {
  const runs: Fragment[][] = [];
  let open: Fragment[] = [];
  for (const fragment of fragments) {
    open.push(fragment);
    if (fragment.keepWithNext === true) continue;
    runs.push(open);
    open = [];
  }
  if (open.length > 0) runs.push(open);
  return runs;
}
