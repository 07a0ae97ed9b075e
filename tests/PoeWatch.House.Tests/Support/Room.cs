using System.Reflection;

namespace PoeWatch.House.Tests.Support;

/// <summary>A project below src/ and what it may know of the others.</summary>
/// <param name="MayUse">The other rooms that it may refer to; it need not.</param>
internal sealed record Room(string Project, string AssemblyName, params string[] MayUse)
{
    /// <summary>The table of docs/architecture.md. A new arrow is a decision: write it down there first.</summary>
    public static IReadOnlyList<Room> All { get; } =
    [
        new("PoeWatch.Domain", "PoeWatch.Domain"),
        new("PoeWatch.Snmp", "PoeWatch.Snmp"),
        new("PoeWatch.DesignFiles", "PoeWatch.DesignFiles", "PoeWatch.Domain"),
        new("PoeWatch.Monitoring", "PoeWatch.Monitoring", "PoeWatch.Domain", "PoeWatch.Snmp"),
        new("PoeWatch.Storage.Sqlite", "PoeWatch.Storage.Sqlite", "PoeWatch.Domain", "PoeWatch.Monitoring"),
        new("PoeWatch.Storage.Postgres", "PoeWatch.Storage.Postgres", "PoeWatch.Domain", "PoeWatch.Monitoring"),
        new("PoeWatch.Evidence", "PoeWatch.Evidence", "PoeWatch.Domain", "PoeWatch.Monitoring"),
        new("PoeWatch.Channels", "PoeWatch.Channels", "PoeWatch.Domain", "PoeWatch.Snmp", "PoeWatch.Monitoring"),
        new("PoeWatch.Api", "PoeWatch.Api", "PoeWatch.Domain", "PoeWatch.Monitoring"),
        new("PoeWatch.Simulator", "PoeWatch.Simulator", "PoeWatch.Domain", "PoeWatch.Snmp"),
        new(
            "PoeWatch.Server",
            "poewatch",
            "PoeWatch.Domain",
            "PoeWatch.Snmp",
            "PoeWatch.DesignFiles",
            "PoeWatch.Monitoring",
            "PoeWatch.Storage.Sqlite",
            "PoeWatch.Storage.Postgres",
            "PoeWatch.Channels",
            "PoeWatch.Api",
            "PoeWatch.Evidence",
            "PoeWatch.Simulator"),
    ];

    public string ProjectFile => $"src/{Project}/{Project}.csproj";

    public Assembly Assembly => Assembly.Load(AssemblyName);

    /// <summary>Types that people wrote, not the compiler or a source generator.</summary>
    public IEnumerable<Type> WrittenTypes => Assembly.GetTypes()
        .Where(type => type.Namespace?.StartsWith("PoeWatch", StringComparison.Ordinal) == true)
        .Where(type => !type.FullName!.Contains('<', StringComparison.Ordinal));
}
