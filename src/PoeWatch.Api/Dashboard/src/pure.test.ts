import assert from 'node:assert/strict';
import test from 'node:test';
import { asideIn, barOf, batteryIn, fateOf, suppliesIn, tellsIn } from './budget';
import type { Group, GroupDetail } from './contract';
import { EventLines } from './events';
import { caseIn, sourceIn, stateIn, worstIn } from './known';
import { loopIn } from './loops';
import { agentIn, interfaceIn, neighboursIn, originIn } from './ports';
import { ago, byRoom, drawIn, fullMast, leftIn, mastOf, stepsOf, watts } from './words';

const measured = { drawAtPseW: 12.44, ceilingAtPseW: null, provenance: 'measured' };
const bound = { drawAtPseW: null, ceilingAtPseW: 30, provenance: 'class-bound' };
const nothing = { drawAtPseW: null, ceilingAtPseW: null, provenance: 'unknown' };

test('a draw is never shown without how it is known', () => {
  assert.equal(drawIn(measured), '12.4 W measured');
  assert.equal(drawIn({ drawAtPseW: 0, ceilingAtPseW: null, provenance: 'off' }), 'off (0 W)');
});

test('a ceiling is never shown as a draw, and unknown is never 0', () => {
  assert.equal(drawIn(bound), 'at most 30.0 W (class bound)');
  assert.equal(drawIn(nothing), 'unknown');
  assert.equal(watts(null), 'unknown');
});

test('headroom says at least where only a ceiling is known, and too much where a limit is broken', () => {
  assert.equal(leftIn(17.5, true), 'at least 17.5 W left');
  assert.equal(leftIn(3.1, false), '3.1 W left');
  assert.equal(leftIn(-1.8, false), '1.8 W too much');
  assert.equal(leftIn(null, false), 'no run here');
});

test('poles sort by room, those without a run last', () => {
  const ids = [{ id: 'c', headroomW: null }, { id: 'b', headroomW: 3 }, { id: 'a', headroomW: 3 }, { id: 'd', headroomW: -1 }].sort(byRoom).map((p) => p.id);
  assert.deepEqual(ids, ['d', 'a', 'b', 'c']);
});

test('a mast shows draw below and room above', () => {
  assert.equal(fullMast([{ draw: measured, designDemandNowW: null, headroomW: 37.56 }]), 50);
  const mast = mastOf(measured, null, 37.56, 50, 100);
  assert.equal(mast.fill, 'solid');
  assert.ok(Math.abs(mast.drawn - 24.88) < 1e-9 && Math.abs(mast.free - 75.12) < 1e-9);
});

test('a mast without a measurement is never filled solid', () => {
  assert.equal(mastOf(bound, null, 10, 50, 100).fill, 'hatched');
  assert.equal(mastOf(nothing, 20, 10, 50, 100).fill, 'dotted');
});

test('a broken limit stands above the mast, not as room', () => {
  const mast = mastOf({ drawAtPseW: 40, ceilingAtPseW: null, provenance: 'measured' }, null, -5, 50, 100);
  assert.deepEqual([mast.drawn, mast.free, mast.over], [70, 0, 10]);
});

test('times are told in the largest unit that still says enough', () => {
  assert.deepEqual([ago(20), ago(600), ago(7200), ago(200000)], ['20 s ago', '10 min ago', '2 h ago', '2 days ago']);
});

test('events are read across pieces, comments and line ends of all kinds', () => {
  const lines = new EventLines();
  assert.deepEqual(lines.feed(': hello\nevent: chan'), []);
  assert.deepEqual(lines.feed('ges\r\nid: 1f-7\r'), []);
  assert.deepEqual(lines.feed('\ndata: {"a":\ndata: 1}\n\ndata: x'), [{ type: 'changes', id: '1f-7', data: '{"a":\n1}' }]);
  assert.deepEqual(lines.feed('\n\n'), [{ type: 'message', id: '1f-7', data: 'x' }]);
});

test('next steps come one by one and the caution by itself', () => {
  assert.deepEqual(stepsOf('1. Add no device; 30 W is the limit. 2. Look. Caution: live port.'), ['1. Add no device; 30 W is the limit.', '2. Look.', 'Caution: live port.']);
  assert.deepEqual(stepsOf(''), []);
});

const group: Group = {
  groupNumber: 1, draw: { drawAtPseW: 50, ceilingAtPseW: null, provenance: 'measured' }, budgetW: 200, headroomW: 130, headroomAtLeast: false, grade: 'ample',
  account: {
    policy: 'by-class', guardBandW: 20, allocatedW: 120, allocatedProvenance: 'class-bound', allocationHeadroomW: 60, requestedW: 130, bindingLimit: null,
    worstLoadCaseId: 'frost', worstDemandW: 90, worstBindingLimit: { kind: 'group-budget', sentence: '' },
    supplies: { supplyCount: 2, redundancy: 'n-plus-1', allW: 200, afterLossW: 80, survivesLossNow: false, survivesLossByDesign: false }, upsId: null,
  },
};

test('the bar of a group is as long as its capacity, or as what flows where that is more', () => {
  assert.deepEqual(barOf(group), { drawn: 0.25, guardFrom: 0.9, capacity: 1, aside: 0.6, afterLoss: 0.4 });
  assert.equal(barOf({ ...group, draw: { ...group.draw, drawAtPseW: 400 } }).capacity, 0.5);
  assert.equal(barOf({ ...group, draw: nothing, account: null }).drawn, 0);
});

test('what a group has set aside is told with its policy, and unknown stays unknown', () => {
  assert.equal(asideIn(group), '120 W by class, 60.0 W left');
  assert.equal(asideIn({ ...group, account: { ...group.account!, allocationHeadroomW: -5 } }), '120 W by class, 5.0 W too much');
  assert.equal(asideIn({ ...group, account: { ...group.account!, allocatedW: null } }), 'unknown (by class)');
});

test('a lost supply and an empty battery are told in words', () => {
  assert.match(suppliesIn(group)!, /N\+1.*largest lost 80.0 W: ports would go off now/);
  const ups = { id: 'u', name: 'Battery', runtimeSeconds: 9000, runtimeAtLeast: true, worstLoadCaseId: 'frost', worstRuntimeSeconds: 3600, wantedRuntimeSeconds: 7200, isShortByDesign: true, tells: null };
  assert.equal(batteryIn(ups), 'at least 2.5 h at this draw, 60 min in frost; 2.0 h wanted: too short (Battery)');
});

test('the fate of a port tells apart what goes, what comes back and what stays', () => {
  const detail = { afterSupplyLoss: { usableW: 80, droppedPortRefs: ['a', 'b'], comingBackPortRefs: ['b'] } } as unknown as GroupDetail;
  assert.deepEqual(['a', 'b', 'c'].map((port) => fateOf(detail, port, true)), ['goes off', 'off and on again', 'stays fed']);
  assert.equal(fateOf(detail, 'a', false), 'not fed now');
});

test('an unknown condition says that it counts, and every source is told', () => {
  const source = (origin: string, rest = {}) => ({ origin, who: '', since: null, ageSeconds: null, until: null, text: '', ...rest });
  const time = (iso: string) => iso.slice(11, 16);
  assert.equal(stateIn('unknown'), 'not known: counts as yes');
  assert.equal(stateIn('does-not-hold'), 'no');
  assert.equal(sourceIn(source('unknown'), time), 'nobody says');
  assert.equal(
    sourceIn(source('posted', { who: 'nora', ageSeconds: 60, until: '2026-11-25T06:00:00Z', text: 'no drill' }), time),
    'nora said so 60 s ago, until 06:00: “no drill”',
  );
  assert.equal(sourceIn(source('sun', { ageSeconds: 0, until: '2026-11-25T07:49:38Z' }), time), 'reckoned from the sun over the site, until 07:49');
  assert.equal(sourceIn(source('thermometer', { who: 'quay-air', ageSeconds: 30 }), time), 'thermometer quay-air, read 30 s ago');
});

test('the worst of now, today and the season stand in one sentence, each with its load case', () => {
  const at = (loadCaseId: string, designDemandW: number, isLimit = false) => ({ loadCaseId, designDemandW, isLimit });
  assert.equal(
    worstIn({ now: at('day', 120), today: at('night', 180.25), thisSeason: at('frost', 240, true) }, 'the site'),
    'By the design the site may ask for up to 120 W (day) now, 180 W (night) before the day is over, more than 240 W (frost) before the end of next month.',
  );
  const all = at('paging', 619);
  assert.equal(worstIn({ now: all, today: all, thisSeason: all }, 'the site'), 'By the design the site may ask for up to 619 W (paging), now as before the end of next month.');
  assert.equal(worstIn(null, 'the site'), '');
});

test('a load case that does not count says why', () => {
  const night = { id: 'night', name: 'Night', isInForce: false, canComeToday: true, canComeThisSeason: true, notNow: 'It is not dark.', notToday: '', notThisSeason: '' };
  assert.deepEqual(caseIn(night), ['Night', 'no. It is not dark.', 'yes', 'yes']);
});

test('what a UPS says of itself is told with its age', () => {
  const tells = {
    source: 'battery', isOnBattery: true, onBatterySince: '2026-11-24T21:04:00Z', remainingSeconds: 2220, battery: 'low', chargePercent: 62, loadPercent: 41, outputW: 183,
    readAt: '2026-11-24T21:10:00Z', ageSeconds: 12, problem: '',
  };
  const time = (iso: string) => iso.slice(11, 16);
  assert.equal(tellsIn(tells, time), 'on battery since 21:04, 37 min left, battery low, 62 % charged, 41 % load, 183 W out (read 12 s ago)');
  const mains = { ...tells, source: 'normal', isOnBattery: false, onBatterySince: null, battery: 'normal', chargePercent: null, loadPercent: null, outputW: null };
  assert.equal(tellsIn(mains, time), 'on mains, 37 min left if the mains went (read 12 s ago)');
  const silent = { ...mains, source: 'unknown', isOnBattery: null, remainingSeconds: null, battery: 'unknown', ageSeconds: null, problem: 'No answer.' };
  assert.equal(tellsIn(silent, time), 'nothing: No answer.');
});

test('an agent is told in one line: whether it answers, what is odd, what was missed', () => {
  const agent = {
    address: '192.0.2.10', pollPeriodSeconds: 60, outcome: 'answered', detail: '', lastAnswerAt: '2026-11-24T21:00:00Z', silentBecauseOf: null, missedSlotCount: 0, findings: [],
  };
  const now = Date.parse('2026-11-24T21:00:20Z');
  assert.equal(agentIn(agent, now), 'answers, last answer 20 s ago');
  const finding = { kind: 'wrong-vlan', groupNumber: null, portRef: 'quay:1/1', text: '' };
  assert.equal(agentIn({ ...agent, missedSlotCount: 3, findings: [finding] }, now), 'answers, last answer 20 s ago, 1 finding, 3 poll slots missed');
  assert.equal(
    agentIn({ ...agent, outcome: 'silent', lastAnswerAt: null, silentBecauseOf: 'core', detail: 'No answer.' }, now), 'is silent because of core, never answered. No answer.');
});

test('an interface is told with what is known of it, and without proof it is not mapped', () => {
  const found = {
    interfaceNumber: 101, name: 'port1', alias: 'mast north', evidence: 'the names end alike', isUp: true, speedMbps: 1000, vlanNumber: 30,
    neighbours: [{ systemName: 'camera-7', chassis: '00:00:5e', port: 'eth0' }, { systemName: '', chassis: '', port: '' }],
  };
  assert.equal(interfaceIn(found), 'port1 “mast north”, up, 1 Gbit/s, VLAN 30');
  assert.equal(interfaceIn({ ...found, alias: null, isUp: false, vlanNumber: null }), 'port1, down');
  assert.equal(interfaceIn(null), 'not mapped');
  assert.equal(neighboursIn(found), 'camera-7 at eth0; unnamed');
  assert.equal(neighboursIn(null), '');
});

test('watts are told with their source, step and age', () => {
  const port = { portRef: 'quay:1/1', state: 'delivering', draw: measured, interface: null, isUnexpected: false, isDark: false };
  assert.equal(originIn({ ...port, drawOrigin: { source: 'sheet hp-icf-poe', resolutionW: 0.001, ageSeconds: null } }), 'sheet hp-icf-poe, in steps of 1 mW');
  assert.equal(originIn({ ...port, drawOrigin: { source: 'LLDP', resolutionW: 0.1, ageSeconds: 600 } }), 'LLDP, in steps of 0.1 W, 10 min old when read');
  assert.equal(originIn({ ...port, draw: nothing, drawOrigin: null }), 'nothing that it offers says it');
});

const loop = {
  fedByRef: 'quay-west:1/5', farId: 'pass-slipway', loopOhm: 5.512, leastOhm: 5.2, mostOhm: 5.824, unknownBecause: '', dayCount: 7, designedOhm: 5.476, isDesignMeasured: false,
  earlierLoopOhm: null, earlierFrom: null, earlierTo: null,
};

test('a resistance comes with its interval and the design’s figure, and an earlier one with its days', () => {
  assert.equal(
    loopIn(loop),
    'Copper from quay-west:1/5 to pass-slipway, metered at both ends: loop 5.51 ohm, 5.20 to 5.82 with 90 % (derived, 7 of the last 7 whole days); 5.48 ohm by design (from gauge and length).',
  );
  assert.match(loopIn({ ...loop, earlierLoopOhm: 5.4, earlierFrom: '2026-10-20', earlierTo: '2026-10-26', isDesignMeasured: true }), /\(a tester’s figure\), 5\.40 ohm from 2026-10-20 to 2026-10-26\.$/);
});

test('a resistance that is not known says why and is no number', () => {
  const words = loopIn({ ...loop, loopOhm: null, leastOhm: null, mostOhm: null, unknownBecause: 'no day is over yet' });
  assert.match(words, /loop not known yet, no day is over yet; 5\.48 ohm by design/);
});
