// What both ends of a cable tell of its copper, in words. Pure: tested without a browser.
import type { Loop } from './contract';

/** A resistance never without its interval; one that is not known never without why. */
export function loopIn(loop: Loop): string {
  const where = `Copper from ${loop.fedByRef} to ${loop.farId}, metered at both ends: `;
  const design = `${ohms(loop.designedOhm)} ohm by design (${loop.isDesignMeasured ? 'a tester’s figure' : 'from gauge and length'})`;
  if (loop.loopOhm === null || loop.leastOhm === null || loop.mostOhm === null) return `${where}loop not known yet, ${loop.unknownBecause}; ${design}.`;
  const earlier = loop.earlierLoopOhm === null ? '' : `, ${ohms(loop.earlierLoopOhm)} ohm from ${loop.earlierFrom ?? ''} to ${loop.earlierTo ?? ''}`;
  const days = loop.dayCount === 1 ? 'the last whole day' : `${loop.dayCount} of the last 7 whole days`;
  return `${where}loop ${ohms(loop.loopOhm)} ohm, ${ohms(loop.leastOhm)} to ${ohms(loop.mostOhm)} with 90 % (derived, ${days}); ${design}${earlier}.`;
}

function ohms(value: number): string {
  return value.toFixed(2);
}
