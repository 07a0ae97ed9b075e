using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Conditions;

/// <summary>Where the middle of the sun stands, seen from a place on the earth. <c>default</c> is due north on the horizon. Pure.</summary>
/// <param name="ElevationDegrees">Above the horizon, -90..90, without the refraction of the air: that is how twilight is defined.</param>
/// <param name="AzimuthDegrees">From north over east, 0 up to 360.</param>
public readonly record struct SunPosition(double ElevationDegrees, double AzimuthDegrees)
{
    /// <summary>Rotation of the earth and the way of the sun together: the sun never rises or sinks faster, wherever one stands.</summary>
    internal const double DegreesPerHourMax = 15.1;

    /// <summary>The sun over a place at a moment.</summary>
    /// <remarks>
    /// Low accuracy solar coordinates of J. Meeus, Astronomical Algorithms (2nd ed., chapter 25), as NOAA's solar calculator uses them: good to 0.01
    /// degrees from 1950 to 2050, which at middle latitudes is some 5 s of dusk. UTC counts as dynamical time (a minute or so of difference moves the
    /// sun by 3 arc seconds).
    /// </remarks>
    public static SunPosition At(Coordinates place, DateTimeOffset at)
    {
        var sun = SunCoordinates.At(at);
        var minutesOfDay = at.UtcDateTime.TimeOfDay.TotalMinutes;
        var hourAngle = Radians(((minutesOfDay + sun.EquationOfTimeMinutes) / 4) + place.LongitudeDegrees - 180);
        var (sinLatitude, cosLatitude) = Math.SinCos(Radians(place.LatitudeDegrees));
        var (sinDeclination, cosDeclination) = Math.SinCos(sun.DeclinationRadians);
        var (sinHour, cosHour) = Math.SinCos(hourAngle);
        var up = (sinLatitude * sinDeclination) + (cosLatitude * cosDeclination * cosHour);
        var north = (cosLatitude * sinDeclination) - (sinLatitude * cosDeclination * cosHour);
        var east = -cosDeclination * sinHour;
        var azimuth = Degrees(Math.Atan2(east, north));
        return new SunPosition(Degrees(Math.Atan2(up, Math.Sqrt((north * north) + (east * east)))), azimuth < 0 ? azimuth + 360 : azimuth);
    }

    /// <summary>How low the sun stands at midnight by the sun, with the declination of a moment; the same all along a latitude.</summary>
    public static double LowestElevationDegrees(double latitudeDegrees, DateTimeOffset at) =>
        Math.Abs(latitudeDegrees + Degrees(SunCoordinates.At(at).DeclinationRadians)) - 90;

    private static double Radians(double degrees) => degrees * (Math.PI / 180);

    private static double Degrees(double radians) => radians * (180 / Math.PI);
}

/// <summary>The sun on the sky, the same for every place. Pure.</summary>
internal readonly record struct SunCoordinates(double DeclinationRadians, double EquationOfTimeMinutes)
{
    private const double SecondsPerCentury = 36_525.0 * 86_400;

    private static readonly DateTimeOffset s_j2000 = new(2000, 1, 1, 12, 0, 0, TimeSpan.Zero);

    public static SunCoordinates At(DateTimeOffset at)
    {
        // Degrees and radians keep their names of the book: t in Julian centuries, L0, M, e, C, omega, epsilon.
        var t = (at - s_j2000).TotalSeconds / SecondsPerCentury;
        var meanLongitude = (280.46646 + (t * (36_000.76983 + (0.0003032 * t)))) % 360;
        var meanAnomaly = Radians(357.52911 + (t * (35_999.05029 - (0.0001537 * t))));
        var eccentricity = 0.016708634 - (t * (0.000042037 + (0.0000001267 * t)));
        var center = ((1.914602 - (t * (0.004817 + (0.000014 * t)))) * Math.Sin(meanAnomaly))
            + ((0.019993 - (0.000101 * t)) * Math.Sin(2 * meanAnomaly))
            + (0.000289 * Math.Sin(3 * meanAnomaly));
        var omega = Radians(125.04 - (1934.136 * t));
        var longitude = Radians(meanLongitude + center - 0.00569 - (0.00478 * Math.Sin(omega)));
        var meanObliquity = 23 + ((26 + ((21.448 - (t * (46.815 + (t * (0.00059 - (0.001813 * t)))))) / 60)) / 60);
        var obliquity = Radians(meanObliquity + (0.00256 * Math.Cos(omega)));
        return new SunCoordinates(
            Math.Asin(Math.Sin(obliquity) * Math.Sin(longitude)), EquationOfTime(obliquity, Radians(meanLongitude), meanAnomaly, eccentricity));
    }

    private static double EquationOfTime(double obliquity, double meanLongitude, double meanAnomaly, double eccentricity)
    {
        var y = Math.Pow(Math.Tan(obliquity / 2), 2);
        var radians = (y * Math.Sin(2 * meanLongitude))
            - (2 * eccentricity * Math.Sin(meanAnomaly))
            + (4 * eccentricity * y * Math.Sin(meanAnomaly) * Math.Cos(2 * meanLongitude))
            - (0.5 * y * y * Math.Sin(4 * meanLongitude))
            - (1.25 * eccentricity * eccentricity * Math.Sin(2 * meanAnomaly));
        return radians * (4 * 180 / Math.PI);
    }

    private static double Radians(double degrees) => degrees * (Math.PI / 180);
}
