using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.World;

namespace PoeWatch.Simulator.Tests.Support;

/// <summary>A world with the clock that drives it.</summary>
internal sealed class DrivenWorld
{
    public const int Seed = 20260;

    public static readonly DateTimeOffset SummerNoon = new(2026, 7, 1, 12, 0, 0, TimeSpan.Zero);

    public DrivenWorld(string script = "", DesignModel? design = null, DateTimeOffset? start = null, int seed = Seed, WorldOptions? options = null)
    {
        Design = design ?? SmallDesign.Build();
        var reading = FaultScriptText.Read(script, Design);
        Assert.True(reading.Problems.IsEmpty, string.Join('\n', reading.Problems));
        Time = new FakeTimeProvider(start ?? SummerNoon);
        World = new SimulatedWorld(Design, seed, Time, reading.Script, options);
    }

    public DesignModel Design { get; }

    public FakeTimeProvider Time { get; }

    public SimulatedWorld World { get; }

    /// <summary>Goes on in steps of a second, looking each time, until so many seconds after the start.</summary>
    public DrivenWorld GoTo(double seconds)
    {
        while (World.Elapsed < TimeSpan.FromSeconds(seconds))
        {
            Time.Advance(TimeSpan.FromSeconds(1));
            World.CatchUp();
        }

        return this;
    }

    public PortSnapshot Port(PsePortRef port) =>
        World.Look(port.PseId)!.Groups.SelectMany(group => group.Ports).Single(shown => shown.Ref == port);

    /// <summary>Goes on at one stroke: the world catches up by itself.</summary>
    public DrivenWorld JumpTo(TimeSpan sinceStart)
    {
        Time.Advance(sinceStart - World.Elapsed);
        World.CatchUp();
        return this;
    }

    public PortState StateOf(PsePortRef port) => Port(port).State;

    public PoeClass ClassOf(PsePortRef port) => Port(port).AssignedClass;
}
