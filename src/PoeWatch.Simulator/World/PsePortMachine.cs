using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Faults;

namespace PoeWatch.Simulator.World;

/// <summary>What hangs on an output at one moment.</summary>
/// <param name="DrawAtOutput">Watts it would draw if fed; null where the cable cannot carry what is asked.</param>
internal readonly record struct PortLoad(bool IsAttached, Power? DrawAtOutput, PoeClass RequestedClass)
{
    public static PortLoad Nothing => default;
}

/// <summary>The counters of RFC 3621's port table, all since the agent started.</summary>
internal readonly record struct PortCounters(uint MpsAbsent, uint InvalidSignature, uint Denied, uint Overload, uint Short)
{
    public static PortCounters AllAt(uint value) => new(value, value, value, value, value);

    /// <summary>Counted on, past 4294967295 to 0 as a Counter32 does (RFC 2578 section 7.1.6).</summary>
    public PortCounters Plus(PortCount kind, uint times) => unchecked(kind switch
    {
        PortCount.MpsAbsent => this with { MpsAbsent = MpsAbsent + times },
        PortCount.InvalidSignature => this with { InvalidSignature = InvalidSignature + times },
        PortCount.Denied => this with { Denied = Denied + times },
        PortCount.Overload => this with { Overload = Overload + times },
        PortCount.Short => this with { Short = Short + times },
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "One of the five counters."),
    });
}

/// <summary>
/// One output with its memory: state, counters and the wait after an error. Not thread safe; the world steps it.
/// </summary>
/// <remarks>
/// States as RFC 3621 pethPsePortDetectionStatus words them: a port that waits after an overload or short, or was denied power, is in
/// "any other state" and reads searching; only its counters tell. The wait of 2 s is common practice, no source (IEEE 802.3
/// asks for at least 0.75 s, from memory).
/// </remarks>
internal sealed class PsePortMachine(PsePortShape shape)
{
    public static readonly TimeSpan ErrorDelay = TimeSpan.FromSeconds(2);

    private TimeSpan _retryAt = TimeSpan.MinValue;
    private bool _isDenied;
    private ImmutableDictionary<PortCount, Rise> _rises = PortFault.None.Counting;
    private ImmutableDictionary<PortCount, uint> _risen = ImmutableDictionary<PortCount, uint>.Empty;
    private readonly HeldReading<Power> _meter = new();

    public PsePortShape Shape => shape;

    public PortState State { get; private set; } = PortState.Searching;

    public PortCounters Counters { get; private set; }

    /// <summary>Priority that is configured in the PSE; as designed unless somebody sets another.</summary>
    public Criticality Priority { get; set; } = shape.Criticality;

    public PoeClass AssignedClass { get; private set; }

    /// <summary>Watts that flow out of it: 0 W unless it delivers.</summary>
    public Power Draw { get; private set; }

    /// <summary>Watts that its meter last read.</summary>
    public Power MeterRead => _meter.Value;

    public bool IsDelivering => State == PortState.Delivering;

    public void SetCounters(uint value) => Counters = PortCounters.AllAt(value);

    /// <summary>Lets counters rise as the script has it, whatever the port does.</summary>
    public void CountByScript(ImmutableDictionary<PortCount, Rise> rises, TimeSpan now)
    {
        if (!ReferenceEquals(rises, _rises))
        {
            _risen = _risen.RemoveRange(_risen.Keys.Where(kind => !rises.TryGetValue(kind, out var rise) || rise != _rises.GetValueOrDefault(kind)));
            _rises = rises;
        }

        foreach (var (kind, rise) in rises)
        {
            var (due, done) = (rise.At(now), _risen.GetValueOrDefault(kind));
            if (due > done)
            {
                Counters = Counters.Plus(kind, due - done);
                _risen = _risen.SetItem(kind, due);
            }
        }
    }

    /// <summary>Reads the meter, unless the agent repeats what it read before.</summary>
    public void ReadMeter(Beat? repeats, TimeSpan now) => _meter.Read(Draw, repeats, now);

    /// <summary>Its turn to start has not come yet.</summary>
    public void WaitForItsTurn() => Stop(PortState.Searching);

    /// <summary>The box itself has lost its power: nothing is kept.</summary>
    public void LosePower()
    {
        Stop(PortState.Searching);
        Counters = default;
        _meter.Forget();
        _isDenied = false;
        _retryAt = TimeSpan.MinValue;
    }

    /// <summary>
    /// Detects, classifies and polices; gives what the port asks of its group's budget, or null where it will not be fed.
    /// </summary>
    public PowerRequest? Ask(
        in PortLoad load, PortTrouble trouble, PoeClass? scriptedGrant, bool isOffByPlan, AllocationPolicy allocation, TimeSpan now)
    {
        if (isOffByPlan || trouble is PortTrouble.SwitchedOff or PortTrouble.Fault)
        {
            Stop(trouble == PortTrouble.Fault && !isOffByPlan ? PortState.Fault : PortState.Disabled);
            return null;
        }

        if (!load.IsAttached && trouble == PortTrouble.None)
        {
            Counters = Counters.Plus(PortCount.MpsAbsent, IsDelivering ? 1u : 0u);
            Stop(PortState.Searching);
            return null;
        }

        if (now < _retryAt)
        {
            Stop(PortState.Searching);
            return null;
        }

        if (trouble is PortTrouble.Short or PortTrouble.InvalidSignature)
        {
            return Trip(trouble, now);
        }

        AssignedClass = ClassOnTheWay.Assigned(load.RequestedClass, Lower(scriptedGrant ?? shape.GrantableClass, shape.GrantableClass));
        if (load.DrawAtOutput is not { } draw || draw > Ceiling)
        {
            return Trip(PortTrouble.None, now);
        }

        var reserve = PortReserve.Of(allocation, AssignedClass, shape.Type, shape.Limit, IsDelivering ? draw : null);
        return new PowerRequest(shape.Ref.Port, Priority, reserve);
    }

    /// <summary>The group's answer to a request.</summary>
    public void Answer(bool isFed, Power draw)
    {
        if (isFed)
        {
            State = PortState.Delivering;
            Draw = draw;
            _isDenied = false;
            return;
        }

        Counters = Counters.Plus(PortCount.Denied, _isDenied ? 0u : 1u);
        Stop(PortState.Searching);
        _isDenied = true;
    }

    // A port that grants all it can gives up to its own limit; below that the class it assigned is what it polices.
    private Power Ceiling =>
        AssignedClass == shape.GrantableClass ? shape.Limit : Power.Min(shape.Limit, PoeTables.LimitsOf(AssignedClass, shape.Type).PseMinimumOutput);

    private PowerRequest? Trip(PortTrouble trouble, TimeSpan now)
    {
        Counters = trouble switch
        {
            PortTrouble.Short => Counters.Plus(PortCount.Short, 1),
            PortTrouble.InvalidSignature => Counters.Plus(PortCount.InvalidSignature, 1),
            _ => Counters.Plus(PortCount.Overload, 1),
        };
        Stop(PortState.Searching);
        _retryAt = now + ErrorDelay;
        return null;
    }

    private void Stop(PortState state)
    {
        State = state;
        Draw = Power.Zero;
    }

    private static PoeClass Lower(PoeClass a, PoeClass b) => PoeTables.ClassBoundAtPse(a) <= PoeTables.ClassBoundAtPse(b) ? a : b;
}
