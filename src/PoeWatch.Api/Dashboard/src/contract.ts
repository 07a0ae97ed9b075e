// What the API answers, as far as this page reads it. See /openapi/v1.json.
export type Grade = 'ample' | 'bounded' | 'unmetered' | 'unknown' | 'slim' | 'spent' | 'over';

export interface Draw {
  drawAtPseW: number | null;
  ceilingAtPseW: number | null;
  provenance: string;
}

export interface Page<T> {
  viewVersion: number;
  at: string;
  totalCount: number;
  nextCursor: string | null;
  items: T[];
}

export interface Site {
  name: string;
  timeZoneId: string;
  at: string;
}

export interface Pole {
  id: string;
  name: string;
  draw: Draw;
  designDemandNowW: number | null;
  isShared: boolean;
  hasUnmetered: boolean;
  cableRunCount: number;
  smallestRunId: string | null;
  headroomW: number | null;
  headroomAtLeast: boolean;
  bindingLimit: string | null;
  worstLoadCaseId: string | null;
  at: string | null;
  kept: boolean | null;
  grade: Grade;
}

export interface Limit {
  kind: string;
  sentence: string;
}

/** What the meters at both ends of a segment tell of its copper. */
export interface Loop {
  fedByRef: string;
  farId: string;
  loopOhm: number | null;
  leastOhm: number | null;
  mostOhm: number | null;
  unknownBecause: string;
  dayCount: number;
  designedOhm: number;
  isDesignMeasured: boolean;
  earlierLoopOhm: number | null;
  earlierFrom: string | null;
  earlierTo: string | null;
}

export interface CableRun {
  id: string;
  poleIds: string[];
  portRef: string | null;
  injectorId: string | null;
  sourceLimitW: number;
  draw: Draw;
  designDemandNowW: number | null;
  designDemandWorstW: number | null;
  worstLoadCaseId: string | null;
  headroom: { headroomW: number; atLeast: boolean; atElement: string; bindingLimit: Limit } | null;
  isUnmetered: boolean;
  excessW: number | null;
  at: string | null;
  kept: boolean | null;
  grade: Grade;
  devices: { id: string; name: string; typeName: string; poleId: string | null; worstDemandW: number; worstLoadCaseId: string }[];
  segments: { id: string; from: string; to: string; lengthM: number; gaugeAwg: number; loop: Loop | null }[];
  worstToday: { loadCaseId: string; designDemandW: number | null; headroomW: number; bindingLimit: string } | null;
}

export interface PoleDetail {
  pole: Pole;
  cableRuns: CableRun[];
  worstDemands: WorstDemands | null;
}

export interface Alarm {
  id: string;
  resource: string;
  type: string;
  severity: 'warning' | 'minor' | 'major' | 'critical' | 'unknown';
  isCleared: boolean;
  isStanding: boolean;
  raisedAt: string;
  changedAt: string;
  text: string;
  nextSteps: string;
  operatorState: string;
  operatorName: string;
  operatorText: string;
  shelvedUntil: string | null;
  isAccepted: boolean;
  quietBecause: string;
  meaning: string;
  likelyCauses: string[];
  chart: { subject: string; historyPath: string; pageFragment: string };
}

export interface Maintenance {
  id: string;
  scope: string;
  from: string;
  to: string;
  state: 'announced' | 'in-force' | 'over' | 'ended';
  who: string;
  reason: string;
  isOfDesign: boolean;
}

export interface AlarmFigures {
  from: string;
  to: string;
  raisedCount: number;
  measures: { measure: string; value: number; unit: string; target: string; isMet: boolean; source: string }[];
  top: { id: string; raisedCount: number; sharePercent: number }[];
}

export interface WorstDemand {
  loadCaseId: string;
  designDemandW: number;
  isLimit: boolean;
}

export interface WorstDemands {
  now: WorstDemand;
  today: WorstDemand;
  thisSeason: WorstDemand;
}

export type ConditionState = 'holds' | 'does-not-hold' | 'unknown';

export interface ConditionSource {
  origin: string;
  who: string;
  since: string | null;
  ageSeconds: number | null;
  until: string | null;
  text: string;
}

export interface LoadCaseState {
  id: string;
  name: string;
  isInForce: boolean;
  canComeToday: boolean;
  canComeThisSeason: boolean;
  notNow: string;
  notToday: string;
  notThisSeason: string;
}

export interface Conditions {
  conditions: { condition: string; state: ConditionState; source: ConditionSource }[];
  air: { airCelsius: number | null; source: ConditionSource };
  thermometers: { id: string; cabinet: string | null; shownCelsius: number | null; readAt: string | null; problem: string }[];
  loadCases: LoadCaseState[];
  worstDemands: WorstDemands | null;
}

export interface Health {
  status: string;
  version: string;
  parts: { part: string; status: string; detail: string }[];
}

export interface SeriesPoint {
  start: string;
  end: string;
  minW: number | null;
  meanW: number | null;
  maxW: number | null;
  ceilingW: number | null;
  coveragePercent: number;
  estimateWh: number | null;
  provenance: string;
}

export interface Series {
  from: string;
  to: string;
  stepSeconds: number;
  resolution: string;
  energyWh: number | null;
  estimateWh: number | null;
  coveragePercent: number;
  points: SeriesPoint[];
  gaps: { start: string; end: string; durationSeconds: number; reason: string }[];
}

export interface Group {
  groupNumber: number;
  draw: Draw;
  budgetW: number;
  headroomW: number | null;
  headroomAtLeast: boolean;
  grade: Grade;
  account: GroupAccount | null;
}

export interface GroupAccount {
  policy: string;
  guardBandW: number;
  allocatedW: number | null;
  allocatedProvenance: string;
  allocationHeadroomW: number | null;
  requestedW: number;
  bindingLimit: Limit | null;
  worstLoadCaseId: string;
  worstDemandW: number;
  worstBindingLimit: Limit;
  supplies: {
    supplyCount: number;
    redundancy: string;
    allW: number;
    afterLossW: number;
    survivesLossNow: boolean | null;
    survivesLossByDesign: boolean;
  } | null;
  upsId: string | null;
}

export interface Switch {
  id: string;
  name: string;
  agent: AgentState;
  groups: Group[];
}

export interface AgentState {
  address: string;
  pollPeriodSeconds: number;
  outcome: string;
  detail: string;
  lastAnswerAt: string | null;
  silentBecauseOf: string | null;
  missedSlotCount: number;
  findings: { kind: string; groupNumber: number | null; portRef: string | null; text: string }[];
}

export interface PortInterface {
  interfaceNumber: number;
  name: string;
  alias: string | null;
  evidence: string;
  isUp: boolean | null;
  speedMbps: number | null;
  vlanNumber: number | null;
  neighbours: { systemName: string; chassis: string; port: string }[];
}

export interface Port {
  portRef: string;
  state: string;
  draw: Draw;
  drawOrigin: { source: string; resolutionW: number | null; ageSeconds: number | null } | null;
  interface: PortInterface | null;
  isUnexpected: boolean;
  isDark: boolean;
}

export interface SwitchDetail {
  switch: Switch;
  ports: Port[];
}

export interface AgentChange {
  pseId: string;
  at: string;
  kind: string;
  text: string;
}

export interface ShedPlan {
  usableW: number;
  droppedPortRefs: string[];
  comingBackPortRefs: string[];
}

export interface GroupDetail {
  extraOnRunsW: number | null;
  extraOnRunsLimit: Limit | null;
  shedOrder: {
    portRef: string;
    priority: string;
    isPriorityRead: boolean;
    designedCriticality: string;
    reserveW: number;
    isFed: boolean;
  }[];
  isPriorityKnown: boolean;
  afterSupplyLoss: ShedPlan | null;
  coldStarts: { loadCaseId: string; startSentence: string }[];
  conflicts: { portRef: string; keptLongerPortRef: string }[];
}

export interface Ups {
  id: string;
  name: string;
  runtimeSeconds: number | null;
  runtimeAtLeast: boolean;
  worstLoadCaseId: string;
  worstRuntimeSeconds: number | null;
  wantedRuntimeSeconds: number | null;
  isShortByDesign: boolean;
  tells: UpsTells | null;
}

export interface UpsTells {
  source: string;
  isOnBattery: boolean | null;
  onBatterySince: string | null;
  remainingSeconds: number | null;
  battery: string;
  chargePercent: number | null;
  loadPercent: number | null;
  outputW: number | null;
  readAt: string | null;
  ageSeconds: number | null;
  problem: string;
}

export interface PolePlacement {
  poleId: string;
  poleName: string;
  extraW: number | null;
  fits: boolean | null;
  cableRuns: {
    cableRunId: string;
    atElement: string;
    extraW: number;
    worstLoadCaseId: string;
    freeOutputCount: number;
    bindingLimit: Limit;
    groupSpareW: number | null;
    isUnmetered: boolean;
    fit: { fits: boolean; needs: string; marginAfterW: number } | null;
  }[];
}

export interface DeviceType {
  id: string;
  name: string;
  worstDemandW: number;
}

export interface LiveEvent {
  viewVersion: number;
  at: string;
  poles: Pole[];
  alarms: Alarm[];
  goneAlarmIds: string[];
  healthStatus: string;
}

export interface Problem {
  title: string;
  detail: string;
  remedy?: string;
}
