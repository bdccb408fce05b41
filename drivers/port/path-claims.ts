import { ok, type Result, refuse } from '../../shared/result.ts';

/** A claim on the name of a device, and on the device that the name leads to at the moment. */
export interface PathClaim {
  /** Says where the name leads to now (a link to a device), or nothing while it leads nowhere. */
  setTarget(target: string | undefined): Result<void>;
  release(): void;
}

/** Who in this process holds which path. */
export interface PathClaims {
  claim(name: string): Result<PathClaim>;
  isHeld(name: string): boolean;
}

/**
 * One owner for each path in this process. A second opening of a port that is in use fails, but has by then changed
 * the parity and stop bits of the running one (measured), so it must not even be tried.
 */
export function createPathClaims(): PathClaims {
  const owners = new Map<string, symbol>();

  function take(name: string, owner: symbol): Result<void> {
    const present = owners.get(name);
    if (present !== undefined && present !== owner) {
      return refuse('port_held', 'path', `${name} is in use by another instrument of this station.`);
    }
    owners.set(name, owner);
    return ok(undefined);
  }

  return {
    claim(name) {
      const owner = Symbol(name);
      const taken = take(name, owner);
      if (!taken.ok) return taken;
      let target: string | undefined;
      return ok({
        setTarget(next) {
          if (target !== undefined && target !== name) owners.delete(target);
          target = undefined;
          if (next === undefined) return ok(undefined);
          const result = take(next, owner);
          if (result.ok) target = next;
          return result;
        },
        release() {
          for (const [held, holder] of owners) if (holder === owner) owners.delete(held);
        },
      });
    },
    isHeld: (name) => owners.has(name),
  };
}

/** The claims of this process: paths belong to the process, so there is one register of them. */
export const processPathClaims: PathClaims = createPathClaims();
