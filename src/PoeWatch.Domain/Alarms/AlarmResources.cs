using System.Globalization;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms;

/// <summary>How resources of alarms are written.</summary>
public static class AlarmResources
{
    internal const string RunPrefix = "run/";
    internal const string PortPrefix = "port/";
    internal const string SwitchPrefix = "switch/";
    internal const string UpsPrefix = "ups/";

    public static string CableRun(string cableRunId) => RunPrefix + cableRunId;

    /// <summary>The site as a whole, and the machine that watches it.</summary>
    public const string Site = "site";

    /// <summary>A cabinet as one thermometer sees it.</summary>
    public static string Cabinet(string cabinet, string thermometerId) => $"cabinet/{cabinet}:{thermometerId}";

    public static string Port(PsePortRef port) => PortPrefix + port;

    public static string Group(string pseId, int group) => string.Create(CultureInfo.InvariantCulture, $"group/{pseId}:{group}");

    public static string Ups(string upsId) => UpsPrefix + upsId;

    /// <summary>Anything that is polled as a PSE: a switch, a managed injector, a managed pass-through switch.</summary>
    public static string Switch(string pseId) => SwitchPrefix + pseId;
}
