namespace PoeWatch.Domain.Design;

/// <summary>Place on the earth in degrees, WGS 84; latitude -90..90, longitude -180..180.</summary>
public readonly record struct Coordinates(double LatitudeDegrees, double LongitudeDegrees);

/// <summary>The place that one design describes.</summary>
/// <param name="Name">What people call it.</param>
/// <param name="TimeZoneId">IANA zone in which daily windows of load cases and schedules are read; "UTC" by default.</param>
/// <param name="Coordinates">Where it is, if the design says.</param>
public sealed record Site(string Name, string TimeZoneId, Coordinates? Coordinates);

/// <summary>The structure that carries devices. It may have several runs.</summary>
public sealed record Pole(string Id, string Name, Coordinates? Coordinates);
