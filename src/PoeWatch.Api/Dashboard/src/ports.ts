// What an agent says of itself and of its ports, in words. Pure: tested without a browser.
import type { AgentState, Port, PortInterface } from './contract';
import { ago, watts } from './words';

const outcomes: Record<string, string> = {
  answered: 'answers',
  partial: 'answers only a part',
  silent: 'is silent',
  refused: 'refuses to be read',
  malformed: 'answers what cannot be read',
  'no-poe': 'answers, but shows no PoE port',
  unknown: 'was not asked yet',
};

const findings: Record<string, string> = {
  'unit-conflict': 'Units conflict',
  'allocation-as-draw': 'Allocation, not draw',
  'wrong-device': 'Wrong device',
  'moved-device': 'Moved device',
  'wrong-vlan': 'Wrong VLAN',
};

const changes: Record<string, string> = {
  'agent-restarted': 'Agent restarted',
  restarted: 'Restarted',
  replaced: 'Replaced',
  renumbered: 'Renumbered',
  'groups-changed': 'Groups changed',
};

export function findingIn(kind: string): string {
  return findings[kind] ?? kind;
}

export function changeIn(kind: string): string {
  return changes[kind] ?? kind;
}

/** One line of an agent: whether it answers, since when not, what is odd, what was missed. */
export function agentIn(agent: AgentState, now: number): string {
  const isWell = agent.outcome === 'answered';
  const last = agent.lastAnswerAt === null ? 'never answered' : `last answer ${ago((now - Date.parse(agent.lastAnswerAt)) / 1000)}`;
  const parts = [
    `${outcomes[agent.outcome] ?? agent.outcome}${agent.silentBecauseOf === null ? '' : ` because of ${agent.silentBecauseOf}`}`,
    last,
    agent.findings.length === 0 ? null : agent.findings.length === 1 ? '1 finding' : `${agent.findings.length} findings`,
    agent.missedSlotCount === 0 ? null : `${agent.missedSlotCount} poll ${agent.missedSlotCount === 1 ? 'slot' : 'slots'} missed`,
  ];
  return `${parts.filter((part) => part !== null).join(', ')}${isWell || agent.detail === '' ? '' : `. ${agent.detail}`}`;
}

/** A port's interface with why it is taken for it; never a guess. */
export function interfaceIn(found: PortInterface | null): string {
  if (found === null) return 'not mapped';
  const speed = found.speedMbps === null ? null : found.speedMbps >= 1000 ? `${found.speedMbps / 1000} Gbit/s` : `${found.speedMbps} Mbit/s`;
  const parts = [
    found.name + (found.alias === null ? '' : ` “${found.alias}”`),
    found.isUp === null ? null : found.isUp ? 'up' : 'down',
    found.isUp === false ? null : speed,
    found.vlanNumber === null ? null : `VLAN ${found.vlanNumber}`,
  ];
  return parts.filter((part) => part !== null).join(', ');
}

export function neighboursIn(found: PortInterface | null): string {
  return (found?.neighbours ?? [])
    .map((n) => [n.systemName || n.chassis || 'unnamed', n.port].filter((text) => text !== '').join(' at '))
    .join('; ');
}

/** Where a port's watts come from, how fine and how old they are. */
export function originIn(port: Port): string {
  const origin = port.drawOrigin;
  if (origin === null) return port.draw.provenance === 'unknown' ? 'nothing that it offers says it' : '';
  const step = origin.resolutionW === null ? '' : `, in steps of ${origin.resolutionW < 0.1 ? `${origin.resolutionW * 1000} mW` : watts(origin.resolutionW)}`;
  const age = origin.ageSeconds === null || origin.ageSeconds < 1 ? '' : `, ${ago(origin.ageSeconds).replace(' ago', ' old')} when read`;
  return `${origin.source}${step}${age}`;
}

export function stateOf(port: Port): string {
  const designed = port.isUnexpected ? ', not in the design' : port.isDark ? ', a device is designed here' : '';
  return `${port.state}${designed}`;
}
