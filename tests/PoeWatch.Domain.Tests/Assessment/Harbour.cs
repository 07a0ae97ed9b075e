using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Assessment;

/// <summary>A small part of the fictional harbour Skerry Haven with one feed of each kind.</summary>
internal static class Harbour
{
    /// <summary>Summer noon in UTC: neither night nor winter.</summary>
    public static readonly DateTimeOffset Noon = new(2026, 7, 1, 12, 0, 0, TimeSpan.Zero);

    public static readonly DateTimeOffset Night = new(2026, 7, 1, 23, 0, 0, TimeSpan.Zero);

    public static readonly TimeSpan Fresh = TimeSpan.FromSeconds(10);

    /// <summary>
    /// quay-west:1/1 a camera of 10 W by day and 15 W by night over 80 m; 1/2 a pass-through switch (managed) to two poles; 1/3 the data side of an
    /// unmanaged injector with an extender for camera and speaker. quay-east hangs behind quay-west.
    /// </summary>
    public static DesignModelBuilder Design() => new DesignModelBuilder()
        .LoadCase("day", new DailyWindow(new TimeOnly(6, 0), new TimeOnly(20, 0)))
        .LoadCase("night", new DailyWindow(new TimeOnly(20, 0), new TimeOnly(6, 0)))
        .LoadCase("winter-night", new DailyWindow(new TimeOnly(20, 0), new TimeOnly(6, 0)), 11, 12, 1, 2)
        .DeviceType("camera", 10, PoeClass.Class4, ("night", 15), ("winter-night", 20))
        .DeviceType("speaker", 8, PoeClass.Class3)
        .Switch("quay-west", budgetWatts: 200, guardBandWatts: 10)
        .Switch("quay-east", budgetWatts: 200, uplinkTo: "quay-west")
        .Port("quay-west:1/1")
        .Port("quay-west:1/2", limitWatts: 90, type: PoeType.Type4, grantable: PoeClass.Class8)
        .Port("quay-west:1/3")
        .Port("quay-east:1/1")
        .Device("cam-1", "camera", "pole-1")
        .Cable("quay-west:1/1", "cam-1", meters: 80)
        .PassThrough("pts-2", "pole-2", managed: true)
        .Device("cam-2", "camera", "pole-2")
        .Device("cam-3", "camera", "pole-3")
        .Cable("quay-west:1/2", "pts-2", meters: 60)
        .Cable("pts-2:1", "cam-2", meters: 5)
        .Cable("pts-2:2", "cam-3", meters: 70)
        .Injector("inj-4", dataSide: "quay-west:1/3")
        .Extender("ext-4", "pole-4")
        .Device("cam-4", "camera", "pole-4")
        .Device("spk-4", "speaker", "pole-4")
        .Cable("inj-4", "ext-4", meters: 50)
        .Cable("ext-4:1", "cam-4", meters: 5)
        .Cable("ext-4:2", "spk-4", meters: 5)
        .Device("cam-5", "camera", "pole-5", Criticality.Critical)
        .Cable("quay-east:1/1", "cam-5", meters: 40);

    /// <summary>Every agent answered, with draws that the design expects at noon.</summary>
    public static SnapshotBuilder AsDesigned(DateTimeOffset at) => new SnapshotBuilder(at)
        .Answered("quay-west", Fresh, QuayWest())
        .Answered("quay-east", Fresh, SnapshotBuilder.Delivering("quay-east:1/1", 10))
        .Answered("pts-2", Fresh, SnapshotBuilder.Delivering("pts-2:1", 10), SnapshotBuilder.Delivering("pts-2:2", 10), SnapshotBuilder.Off("pts-2:3"), SnapshotBuilder.Off("pts-2:4"));

    /// <summary>The ports of quay-west as designed at noon, with others in the place of those given.</summary>
    public static PortReading[] QuayWest(params PortReading[] instead) =>
        [.. new[] { SnapshotBuilder.Delivering("quay-west:1/1", 10), SnapshotBuilder.Delivering("quay-west:1/2", 28), SnapshotBuilder.Off("quay-west:1/3") }
            .Where(port => instead.All(other => other.Port != port.Port)), .. instead];

    public static SiteAssessment Assess(DesignModel design, SnapshotBuilder snapshot) =>
        SiteAssessor.Assess(DesignAnalysis.Of(design), snapshot.Build());

    public static PortAssessment Port(this SiteAssessment site, string port) =>
        site.Ports[PsePortRef.TryParse(port, out var parsed) ? parsed : throw new ArgumentException(port, nameof(port))];
}
