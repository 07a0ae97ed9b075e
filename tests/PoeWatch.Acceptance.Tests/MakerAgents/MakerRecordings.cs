using PoeWatch.Acceptance.Tests.Agents;

namespace PoeWatch.Acceptance.Tests.MakerAgents;

/// <summary>
/// Agents of many makers as their MIB modules describe them: object, type, unit and index of each column are those of the module that the recording
/// names (texts: trevoro/snmp-mibs at 23f61f6 and a1bead4, lextudio/mibs.pysnmp.com at 32ab65b, cisco/cisco-mibs at a6d437d, all on GitHub). The
/// figures are made up; none was taken from a device. sysObjectIDs below a maker's arc end in 9999, which is no product.
/// </summary>
internal static class MakerRecordings
{
    private const string Maker = "1.3.6.1.4.1.";

    // pethPsePortEntry below the root of IEEE.
    private const string IeeePort = "1.3.111.2.802.3.1.8.1.1.1.";

    // ifType ethernetCsmacd(6), ifOperStatus up(1) (RFC 2863).
    private const string InterfaceType = "1.3.6.1.2.1.2.2.1.3";
    private const string OperStatus = "1.3.6.1.2.1.2.2.1.8";
    private const string BasePort = "1.3.6.1.2.1.17.1.4.1.2";

    public static IReadOnlyDictionary<string, Recording> All { get; } = new Dictionary<string, Recording>(StringComparer.Ordinal)
    {
        ["pointer-stack"] = PointerStack,
        ["old-model"] = OldModel,
        ["dv"] = ByGroupAndPort("11.9999", "11.2.14.11.1.9.1.1.1.8", gauge: false),
        ["slot-4"] = SlotFour,
        ["by-ifindex"] = ByInterface,
        ["two-slots"] = TwoSlots,
        ["bay"] = ByGroupAndPort("45.9999", "45.5.8.1.1.1.7", gauge: true),
        ["rows-without-poe"] = RowsWithoutPoe,
        ["milliwatt-total"] = ByGroupAndPort("4413.9999", "4413.1.1.15.1.1.1.2", gauge: true).Group(1, powerW: 370, drawW: 34_600),
        ["rl"] = ByGroupAndPort("9.6.1.9999", "9.6.1.101.108.1.1.5", gauge: false),
        ["port-number"] = PortNumber,
        ["text-watts"] = TextWatts,
        ["base-port"] = ByBasePort,
        ["deciwatts"] = Deciwatts,
        ["whole-watts"] = WholeWatts,
        ["text-zxr"] = TextZxr,
        ["midspan"] = Midspan,
        ["volts-amperes"] = VoltsAmperes,
        ["energy-object"] = EnergyObject,
        ["entity-watts"] = EntityWatts,
        ["granted-over-lldp"] = GrantedOverLldp,
        ["neighbour"] = Neighbour,
        ["slots-4-and-7"] = SlotsFourAndSeven,
        ["ieee-actual"] = IeeeActual,
        ["ieee-energy"] = IeeeEnergy,
        ["energy-in-watts"] = EnergyInWatts,
        ["asked-over-lldp"] = AskedOverLldp,
        ["granted-below-4623"] = GrantedBelow4623,
        ["asked-over-med"] = AskedOverMed,
    };

    /// <summary>
    /// CISCO-POWER-ETHERNET-EXT-MIB: cpeExtPsePortPwrConsumption (Unsigned32, milliwatts) by group and port; cpeExtPsePortPwrAllocated (7);
    /// cpeExtPsePortEntPhyIndex (11) and entAliasMappingIdentifier (ENTITY-MIB) lead to the interface; cpeExtMainPsePwrMonitorCapable (…402.1.3.1.3) by
    /// group: true(1), false(2). Boxes 1 and 3 of a stack; box 3 does not measure. Names of uplinks repeat every port number.
    /// </summary>
    private static Recording PointerStack
    {
        get
        {
            var recording = new Recording().Identity(Maker + "9.9999", "Software, stack of the quay")
                .Group(1, powerW: 370, drawW: 19).Group(3, powerW: 370, drawW: 46)
                .Integer(Maker + "9.9.402.1.3.1.3", "1", 1).Integer(Maker + "9.9.402.1.3.1.3", "3", 2);
            foreach (var (group, port, state, draw, allocated) in new[] { (1, 1, 3, 12_700, 15_400), (1, 5, 3, 6_400, 7_000), (3, 2, 3, 30_000, 30_000), (3, 7, 2, 0, 0), (3, 11, 3, 15_400, 15_400) })
            {
                var (index, entity, ifIndex) = ($"{group}.{port}", $"{group}0{port:00}", $"10{group}{port:00}");
                recording.Port(group, port, state, classification: state == 3 ? 4 : 1)
                    .Gauge(Maker + "9.9.402.1.2.1.9", index, draw).Gauge(Maker + "9.9.402.1.2.1.7", index, allocated)
                    .Integer(Maker + "9.9.402.1.2.1.11", index, int.Parse(entity, System.Globalization.CultureInfo.InvariantCulture))
                    .Pointer("1.3.6.1.2.1.47.1.3.2.1.2", entity + ".0", "1.3.6.1.2.1.2.2.1.1." + ifIndex)
                    .Interface(int.Parse(ifIndex, System.Globalization.CultureInfo.InvariantCulture), $"Gi{group}/0/{port}")
                    .Interface(20_000 + (group * 100) + port, $"Te{group}/1/{port}");
            }

            return recording;
        }
    }

    /// <summary>
    /// CISCO-POWER-ETHERNET-EXT-CAPABILITY: on c3750 cpeExtPsePortPwrConsumption shows available power; CISCO-POWER-ETHERNET-CAPABILITY: there
    /// pethMainPseConsumptionPower is the total allocated.
    /// </summary>
    private static Recording OldModel => new Recording().Identity(Maker + "9.1.516", "IOS Software, C3750 Software (C3750-IPBASEK9-M), Version 12.2")
        .Port(1, 1, state: 3, classification: 4).Gauge(Maker + "9.9.402.1.2.1.9", "1.1", 11_000)
        .Port(1, 2, state: 3, classification: 3).Gauge(Maker + "9.9.402.1.2.1.9", "1.2", 5_000)
        .Port(1, 3, state: 2, classification: 1).Gauge(Maker + "9.9.402.1.2.1.9", "1.3", 0)
        .Group(1, powerW: 370, drawW: 16);

    /// <summary>
    /// HP-ICF-POE-MIB hpicfPoePethPsePortActualPower (Integer32, milliwatts); BAY-STACK-PETH-EXT-MIB bspePethPsePortExtMeasuredPower (Gauge32,
    /// milliwatts); EdgeSwitch-POWER-ETHERNET-MIB agentPethOutputPower (Gauge32, milliwatts); CISCOSB-POE-MIB rlPethPsePortOutputPower (INTEGER,
    /// milliwatts): all by group and port.
    /// </summary>
    private static Recording ByGroupAndPort(string objectId, string column, bool gauge)
    {
        var recording = new Recording().Identity(Maker + objectId, "switch of the quay").Group(1, powerW: 370, drawW: 35);
        foreach (var (port, state, draw) in new[] { (1, 3, 9_300), (2, 2, 0), (6, 3, 25_300) })
        {
            recording.Port(1, port, state, classification: state == 3 ? 5 : 1).Interface(1000 + port, $"port{port}");
            recording = gauge ? recording.Gauge(Maker + column, $"1.{port}", draw) : recording.Integer(Maker + column, $"1.{port}", draw);
        }

        return recording;
    }

    /// <summary>HH3C-POWER-ETH-EXT-MIB hh3cPsePortCurrentPower (Integer32, milliwatts) by group and port; the only group is number 4.</summary>
    private static Recording SlotFour => new Recording().Identity(Maker + "25506.9999", "switch of the quay")
        .Port(4, 1, state: 3, classification: 4).Integer(Maker + "25506.2.14.1.1.5", "4.1", 12_400).Interface(401, "GigabitEthernet4/0/1")
        .Port(4, 3, state: 3, classification: 4).Integer(Maker + "25506.2.14.1.1.5", "4.3", 3_200).Interface(403, "GigabitEthernet4/0/3")
        .Group(4, powerW: 370, drawW: 16);

    /// <summary>
    /// HUAWEI-POE-MIB hwPoePortConsumingPower (Integer32, milliwatts) by ifIndex; hwPoePortPdClass (8) is the class itself. Only the ports that feed have
    /// rows there, which tells them from the uplinks that repeat their numbers.
    /// </summary>
    private static Recording ByInterface => new Recording().Identity(Maker + "2011.9999", "switch of the quay")
        .Port(1, 1, state: 3, classification: 5).Integer(Maker + "2011.5.25.195.3.1.10", "5", 61_000).Integer(Maker + "2011.5.25.195.3.1.8", "5", 7).Interface(5, "GigabitEthernet1/0/1")
        .Port(1, 2, state: 3, classification: 4).Integer(Maker + "2011.5.25.195.3.1.10", "6", 8_800).Integer(Maker + "2011.5.25.195.3.1.8", "6", 3).Interface(6, "GigabitEthernet1/0/2")
        .Interface(55, "XGigabitEthernet1/0/1").Interface(56, "XGigabitEthernet1/0/2")
        .Group(1, powerW: 370, drawW: 70);

    /// <summary>EXTREME-POE-MIB extremePethPortMeasuredPower (Gauge32, milliwatts), extends pethPsePortTable; the group is the slot.</summary>
    private static Recording TwoSlots => new Recording().Identity(Maker + "1916.9999", "stack of the quay")
        .Port(1, 1, state: 3, classification: 4).Gauge(Maker + "1916.1.27.2.1.1.6", "1.1", 10_100).Interface(1001, "1/1")
        .Port(2, 1, state: 3, classification: 4).Gauge(Maker + "1916.1.27.2.1.1.6", "2.1", 4_900).Interface(2001, "2/1")
        .Group(1, powerW: 370, drawW: 10).Group(2, powerW: 370, drawW: 5);

    /// <summary>FOUNDRY-POE-MIB snAgentPoePortConsumed (Integer32, milliwatts) by ifIndex; ports without PoE have rows too.</summary>
    private static Recording RowsWithoutPoe => new Recording().Identity(Maker + "1991.9999", "switch of the quay")
        .Port(1, 1, state: 3, classification: 4).Integer(Maker + "1991.1.1.2.14.2.2.1.6", "1", 11_900).Interface(1, "ethernet1/1/1")
        .Port(1, 2, state: 1, classification: 1).Integer(Maker + "1991.1.1.2.14.2.2.1.6", "2", 0).Interface(2, "ethernet1/1/2")
        .Integer(Maker + "1991.1.1.2.14.2.2.1.6", "129", 77_000).Interface(129, "mgmt1")
        .Group(1, powerW: 370, drawW: 12);

    /// <summary>PoE-MIB swPoEPortInfoPower (INTEGER, milliwatts) by port number; volts (4) in tenths, amperes (5) in milliamperes.</summary>
    private static Recording PortNumber => new Recording().Identity(Maker + "171.9999", "switch of the quay")
        .Port(1, 3, state: 3, classification: 4).Integer(Maker + "171.12.24.4.1.1.3", "3", 7_700).Interface(3, "port3")
        .Port(1, 4, state: 3, classification: 4).Integer(Maker + "171.12.24.4.1.1.3", "4", 12_300).Interface(4, "port4")
        .Group(1, powerW: 193, drawW: 20);

    /// <summary>DGS-1210-28PME poePortPower: DisplayString of at most four characters such as "2.3", by group and port.</summary>
    private static Recording TextWatts => new Recording().Identity(Maker + "171.10.76.30.1", "switch of the quay")
        .Port(1, 1, state: 3, classification: 3).Draw(Maker + "171.10.76.30.1.21.1.1.9", "1.1", "2.3").Interface(1, "port1")
        .Port(1, 2, state: 3, classification: 5).Draw(Maker + "171.10.76.30.1.21.1.1.9", "1.2", "24.6").Interface(2, "port2")
        .Port(1, 3, state: 2, classification: 1).Draw(Maker + "171.10.76.30.1.21.1.1.9", "1.3", "0.0").Interface(3, "port3")
        .Group(1, powerW: 193, drawW: 27);

    /// <summary>ZYXEL-POWER-ETHERNET-MIB zyPoePsePortInfoPowerConsumption (INTEGER, milliwatts) by dot1dBasePort (BRIDGE-MIB).</summary>
    private static Recording ByBasePort => new Recording().Identity(Maker + "890.9999", "switch of the quay")
        .Port(1, 1, state: 3, classification: 4).Integer(Maker + "890.1.15.3.59.2.1.1.1", "21", 5_200).Integer(BasePort, "21", 101).Interface(101, "swp01")
        .Port(1, 2, state: 3, classification: 4).Integer(Maker + "890.1.15.3.59.2.1.1.1", "22", 13_000).Integer(BasePort, "22", 102).Interface(102, "swp02")
        .Group(1, powerW: 193, drawW: 18);

    /// <summary>CIE1000-POE-MIB: Integer32 of tenths of a watt by ifIndex (4), reserved (5) beside it.</summary>
    private static Recording Deciwatts => new Recording().Identity(Maker + "9.1.9999", "switch of the quay")
        .Port(1, 1, state: 3, classification: 4).Integer(Maker + "9.9.832.1.43.1.3.1.1.4", "1000001", 127).Integer(Maker + "9.9.832.1.43.1.3.1.1.5", "1000001", 154).Interface(1_000_001, "Gi1/1")
        .Port(1, 2, state: 3, classification: 3).Integer(Maker + "9.9.832.1.43.1.3.1.1.4", "1000002", 64).Integer(Maker + "9.9.832.1.43.1.3.1.1.5", "1000002", 70).Interface(1_000_002, "Gi1/2")
        .Group(1, powerW: 170, drawW: 19);

    /// <summary>NMS-POE-MIB ifPethPortConsumptionPower (INTEGER, watts) by ifIndex.</summary>
    private static Recording WholeWatts => new Recording().Identity(Maker + "3320.9999", "switch of the quay")
        .Port(1, 1, state: 3, classification: 4).Integer(Maker + "3320.2.236.1.1.5", "9", 6).Interface(9, "g0/1")
        .Port(1, 2, state: 3, classification: 5).Integer(Maker + "3320.2.236.1.1.5", "10", 21).Interface(10, "g0/2")
        .Group(1, powerW: 370, drawW: 28);

    /// <summary>ZXR10-POE-MIB interfaceCurrentPower: DisplayString of watts by group and port; group 2.</summary>
    private static Recording TextZxr => new Recording().Identity(Maker + "3902.9999", "switch of the quay")
        .Port(2, 1, state: 3, classification: 4).Draw(Maker + "3902.3.319.2.1.3", "2.1", "12.4").Interface(21, "gei-2/1")
        .Port(2, 2, state: 3, classification: 4).Draw(Maker + "3902.3.319.2.1.3", "2.2", " 3.75 ").Interface(22, "gei-2/2")
        .Group(2, powerW: 370, drawW: 16);

    /// <summary>PHIHONG-PoE-MIB poePortPower (INTEGER, mWattes) by port number: a midspan, which shows no port of RFC 3621.</summary>
    private static Recording Midspan => new Recording().Identity(Maker + "24852.2", "midspan of the quay")
        .Integer(Maker + "24852.2.3.1.11", "1", 14_100).Integer(Maker + "24852.2.3.1.11", "2", 0);

    /// <summary>HP-ICF-POE-MIB without its newer columns: current (1) in milliamperes and voltage (2) in decivolts.</summary>
    private static Recording VoltsAmperes => new Recording().Identity(Maker + "11.9998", "switch of the quay, old software")
        .Port(1, 1, state: 3, classification: 4).Integer(Maker + "11.2.14.11.1.9.1.1.1.1", "1.1", 200).Integer(Maker + "11.2.14.11.1.9.1.1.1.2", "1.1", 530).Interface(1, "1")
        .Group(1, powerW: 370, drawW: 11);

    /// <summary>
    /// RFC 7460 eoPower with eoPowerUnitMultiplier milli(-3), eoPowerMeasurementCaliber actual(3) and estimated(4), eoPowerMeasurementLocal true(1); RFC 7461
    /// eoEthPortIndex and eoEthPortGrpIndex tie it to pethPsePort.
    /// </summary>
    private static Recording EnergyObject
    {
        get
        {
            var recording = new Recording().Identity(Maker + "32473.1", "switch of the quay").Group(1, powerW: 370, drawW: 17);
            foreach (var (port, milliwatts, caliber) in new[] { (1, 10_200, 3), (2, 6_600, 4) })
            {
                var entity = (1000 + port).ToString(System.Globalization.CultureInfo.InvariantCulture);
                recording.Port(1, port, state: 3, classification: 4).Interface(port, $"port{port}")
                    .Integer("1.3.6.1.2.1.229.1.2.1.1", entity, -milliwatts).Integer("1.3.6.1.2.1.229.1.2.1.3", entity, -3)
                    .Integer("1.3.6.1.2.1.229.1.2.1.5", entity, caliber).Integer("1.3.6.1.2.1.229.1.2.1.7", entity, 1)
                    .Integer("1.3.6.1.2.1.231.1.1.1.1", entity, port).Integer("1.3.6.1.2.1.231.1.1.1.2", entity, 1);
            }

            return recording;
        }
    }

    /// <summary>
    /// RFC 3433: watts(6), scale milli(8), precision 0, status ok(1), in an entity of class port(10) that ENTITY-MIB's alias table ties to ifIndex 101; and
    /// watts of a power supply (class 6), which are no port's.
    /// </summary>
    private static Recording EntityWatts
    {
        get
        {
            var recording = new Recording().Identity(Maker + "32473.1", "switch of the quay").Group(1, powerW: 370, drawW: 8)
                .Port(1, 1, state: 3, classification: 4).Interface(101, "port1")
                .Integer("1.3.6.1.2.1.47.1.1.1.1.5", "50", 10).Integer("1.3.6.1.2.1.47.1.1.1.1.5", "60", 6)
                .Pointer("1.3.6.1.2.1.47.1.3.2.1.2", "50.0", "1.3.6.1.2.1.2.2.1.1.101");
            foreach (var (entity, parent, milliwatts) in new[] { ("501", 50, 8_100), ("601", 60, 190_000) })
            {
                recording.Integer("1.3.6.1.2.1.99.1.1.1.1", entity, 6).Integer("1.3.6.1.2.1.99.1.1.1.2", entity, 8).Integer("1.3.6.1.2.1.99.1.1.1.3", entity, 0)
                    .Integer("1.3.6.1.2.1.99.1.1.1.4", entity, milliwatts).Integer("1.3.6.1.2.1.99.1.1.1.5", entity, 1)
                    .Integer("1.3.6.1.2.1.47.1.1.1.1.4", entity, parent).Integer("1.3.6.1.2.1.47.1.1.1.1.5", entity, 8);
            }

            return recording;
        }
    }

    /// <summary>
    /// IEEE8023-DOT3-LLDP-EXT-V2-MIB, PSEAllocatedPowerValue of the local port by ifIndex: tenths of a watt at the PD end (802.3at 30.12.2). 25.5 W at the PD
    /// are 30 W at the PSE over the longest channel.
    /// </summary>
    private static Recording GrantedOverLldp => new Recording().Identity(Maker + "32473.1", "switch of the quay")
        .Port(1, 1, state: 3, classification: 5).Interface(101, "port1").Integer(InterfaceType, "101", 6).Integer(OperStatus, "101", 1)
        .Integer("1.3.111.2.802.3.1.5.1.2.2.1.11", "101", 255);

    /// <summary>
    /// LLDP-MIB: lldpLocPortIdSubtype interfaceName(5); lldpRemChassisIdSubtype local(7), lldpRemChassisId, lldpRemPortId and lldpRemSysName by time mark, local
    /// port and remote index. Q-BRIDGE-MIB dot1qPvid by bridge port. IF-MIB ifAlias and ifHighSpeed.
    /// </summary>
    private static Recording Neighbour => new Recording().Identity(Maker + "32473.1", "switch of the quay")
        .Port(1, 1, state: 3, classification: 4).Interface(101, "port1").Integer(InterfaceType, "101", 6).Integer(OperStatus, "101", 1)
        .Gauge("1.3.6.1.2.1.31.1.1.1.15", "101", 1000).Draw("1.3.6.1.2.1.31.1.1.1.18", "101", "mast north")
        .Integer(BasePort, "7", 101).Gauge("1.3.6.1.2.1.17.7.1.4.5.1.1", "7", 1)
        .Integer("1.0.8802.1.1.2.1.3.7.1.2", "12", 5).Draw("1.0.8802.1.1.2.1.3.7.1.3", "12", "port1")
        .Integer("1.0.8802.1.1.2.1.4.1.1.4", "9000.12.3", 7).Draw("1.0.8802.1.1.2.1.4.1.1.5", "9000.12.3", "mast-unit")
        .Draw("1.0.8802.1.1.2.1.4.1.1.7", "9000.12.3", "eth0").Draw("1.0.8802.1.1.2.1.4.1.1.9", "9000.12.3", "camera-7");

    /// <summary>
    /// A3COM-HUAWEI-POWER-ETH-EXT-MIB (hh3cPsePortCurrentPower below 43.45.1.10.2.14.1.1.5, Integer32, milliwatts, by group and port). The PSE groups of the
    /// two boxes are 4 and 7, their interfaces are called 1/0/x and 2/0/x: nothing proves which is whose.
    /// </summary>
    private static Recording SlotsFourAndSeven => new Recording().Identity(Maker + "43.9999", "stack of the quay")
        .Port(4, 1, state: 3, classification: 4).Integer(Maker + "43.45.1.10.2.14.1.1.5", "4.1", 11_100).Interface(1, "GigabitEthernet1/0/1")
        .Port(4, 2, state: 3, classification: 4).Integer(Maker + "43.45.1.10.2.14.1.1.5", "4.2", 4_400).Interface(2, "GigabitEthernet1/0/2")
        .Port(7, 1, state: 3, classification: 4).Integer(Maker + "43.45.1.10.2.14.1.1.5", "7.1", 7_900).Interface(65, "GigabitEthernet2/0/1")
        .Group(4, powerW: 370, drawW: 16).Group(7, powerW: 370, drawW: 8);

    /// <summary>
    /// IEEE8023-POWER-ETHERNET-MIB (compiled form; units by clause 30 as the module ieee802-ethernet-pse repeats them): pethPsePortActualPower (15,
    /// milliwatts) and pethPsePortPowerAccuracy (16, plus or minus milliwatts) by group and port.
    /// </summary>
    private static Recording IeeeActual => new Recording().Identity(Maker + "32473.1", "switch of the quay").Group(1, powerW: 370, drawW: 74)
        .Port(1, 1, state: 3, classification: 5).Interface(1, "port1").Integer(IeeePort + "15", "1.1", 61_345).Integer(IeeePort + "16", "1.1", 150)
        .Port(1, 2, state: 3, classification: 4).Interface(2, "port2").Integer(IeeePort + "15", "1.2", 12_400).Integer(IeeePort + "16", "1.2", 0);

    /// <summary>The same module: pethPsePortCumulativeEnergy (17, Counter32, millijoules), here 15,400 and 6,500 millijoules a second, the first about to go round.</summary>
    private static Recording IeeeEnergy => new Recording().Identity(Maker + "32473.1", "switch of the quay").Group(1, powerW: 370, drawW: 22)
        .Port(1, 1, state: 3, classification: 4).Interface(1, "port1").Counter(IeeePort + "17", "1.1", perSecond: 15_400, initial: 4_294_900_000)
        .Port(1, 2, state: 3, classification: 3).Interface(2, "port2").Counter(IeeePort + "17", "1.2", perSecond: 6_500, initial: 1_000);

    /// <summary>RFC 7460 eoPower as a positive number with eoPowerUnitMultiplier units(0) and eoPowerAccuracy in hundredths of a percent; RFC 7461 ties it.</summary>
    private static Recording EnergyInWatts => new Recording().Identity(Maker + "32473.1", "switch of the quay").Group(1, powerW: 370, drawW: 9)
        .Port(1, 6, state: 3, classification: 4).Interface(106, "port6")
        .Integer("1.3.6.1.2.1.229.1.2.1.1", "2006", 9).Integer("1.3.6.1.2.1.229.1.2.1.3", "2006", 0).Integer("1.3.6.1.2.1.229.1.2.1.4", "2006", 150)
        .Integer("1.3.6.1.2.1.229.1.2.1.5", "2006", 3).Integer("1.3.6.1.2.1.229.1.2.1.7", "2006", 1)
        .Integer("1.3.6.1.2.1.231.1.1.1.1", "2006", 6).Integer("1.3.6.1.2.1.231.1.1.1.2", "2006", 1)
        .Pointer("1.3.6.1.2.1.47.1.3.2.1.2", "2006.0", "1.3.6.1.2.1.2.2.1.1.106");

    /// <summary>
    /// IEEE8023-DOT3-LLDP-EXT-V2-MIB: PDRequestedPowerValue of the remote table (10) by time mark, ifIndex, destination and remote index, tenths of a watt at the
    /// PD; port 2 was also granted less (local PSEAllocatedPowerValue, 11, by ifIndex), and what was granted counts.
    /// </summary>
    private static Recording AskedOverLldp => new Recording().Identity(Maker + "32473.1", "switch of the quay")
        .Port(1, 1, state: 3, classification: 5).Interface(101, "port1").Integer(InterfaceType, "101", 6).Integer(OperStatus, "101", 1)
        .Port(1, 2, state: 3, classification: 5).Interface(102, "port2").Integer(InterfaceType, "102", 6).Integer(OperStatus, "102", 1)
        .Integer("1.3.111.2.802.3.1.5.1.3.2.1.10", "9000.101.1.3", 510).Integer("1.3.111.2.802.3.1.5.1.3.2.1.10", "9000.102.1.4", 510)
        .Integer("1.3.111.2.802.3.1.5.1.2.2.1.11", "102", 255);

    /// <summary>The allocation (11) below the root of LLDP-EXT-DOT3-MIB, by LLDP's local port number, which lldpLocPortId (interfaceName(5)) ties to the interface.</summary>
    private static Recording GrantedBelow4623 => new Recording().Identity(Maker + "32473.1", "switch of the quay")
        .Port(1, 1, state: 3, classification: 5).Interface(101, "port1").Integer(InterfaceType, "101", 6).Integer(OperStatus, "101", 1)
        .Integer("1.0.8802.1.1.2.1.3.7.1.2", "12", 5).Draw("1.0.8802.1.1.2.1.3.7.1.3", "12", "port1")
        .Integer("1.0.8802.1.1.2.1.5.4623.1.2.2.1.11", "12", 255);

    /// <summary>
    /// LLDP-EXT-MED-MIB: lldpXMedRemXPoEDeviceType pdDevice(3), lldpXMedRemXPoEPDPowerReq (Gauge32, tenths of a watt), …PDPowerSource fromPSE(2) and
    /// …PDPowerPriority high(3) by time mark, local port number and remote index.
    /// </summary>
    private static Recording AskedOverMed => new Recording().Identity(Maker + "32473.1", "switch of the quay")
        .Port(1, 1, state: 3, classification: 5).Interface(101, "port1").Integer(InterfaceType, "101", 6).Integer(OperStatus, "101", 1)
        .Integer("1.0.8802.1.1.2.1.3.7.1.2", "12", 5).Draw("1.0.8802.1.1.2.1.3.7.1.3", "12", "port1")
        .Integer("1.0.8802.1.1.2.1.5.4795.1.3.5.1.1", "9000.12.3", 3)
        .Gauge("1.0.8802.1.1.2.1.5.4795.1.3.7.1.1", "9000.12.3", 255)
        .Integer("1.0.8802.1.1.2.1.5.4795.1.3.7.1.2", "9000.12.3", 2).Integer("1.0.8802.1.1.2.1.5.4795.1.3.7.1.3", "9000.12.3", 3);
}
