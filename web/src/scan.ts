/// Scanners are keyboards that type fast and end in Enter.

/// A code as it came from a scanner or a hand: no control signs, no spaces around, one case.
export function cleanCode(typed: string): string {
  return typed.replace(/[\u0000-\u001f\u007f]/g, '').trim().toUpperCase();
}

export interface Scan { code: string; words: string; href: string | null; good: boolean }

const kept = 5;

/// Newest first, each code once, five at most.
export function withScan(scans: readonly Scan[], scan: Scan): Scan[] {
  return [scan, ...scans.filter((s) => s.code !== scan.code)].slice(0, kept);
}

/// Tells a scanner from a hand by the time between keys, so that a scan finds its
/// way even when no field has the focus.
export class BurstListener {
  private text = '';
  private last = -Infinity;
  constructor(private readonly fastest_hand_ms = 50, private readonly least_signs = 3) {}

  /// The code when `key` was the Enter that ends a burst, else null.
  key(key: string, at_ms: number): string | null {
    const fast = at_ms - this.last < this.fastest_hand_ms;
    this.last = at_ms;
    if (key === 'Enter') {
      const code = fast && this.text.length >= this.least_signs ? this.text : null;
      this.text = '';
      return code;
    }
    if (key.length === 1) this.text = fast ? this.text + key : key;
    return null;
  }
}
