using PoeWatch.Domain.Design.Config;

namespace PoeWatch.DesignFiles.Reading;

/// <summary>Reads what a cable is made of and how it hangs, at a cable or under <c>cable-defaults</c>.</summary>
internal static class InstallationReader
{
    public static InstallationConfig Read(MapReader map) => new(map.At)
    {
        GaugeAwg = map.Text("gauge-awg"),
        Category = map.Text("category"),
        Material = map.Text("material"),
        ConductorCelsius = map.Text("conductor-c"),
        AmbientCelsius = map.Text("ambient-c"),
        SunHeated = map.Text("sun-heated"),
        RatedCelsius = map.Text("rated-c"),
        CordLengthMeters = map.Text("cord-length-m"),
        CordGaugeAwg = map.Text("cord-gauge-awg"),
        CordLoopOhms = map.Text("cord-loop-ohm"),
        CordCelsius = map.Text("cord-c"),
        Contacts = map.Text("contacts"),
        ContactOhms = map.Text("contact-ohm"),
        BundledCables = map.Text("bundled-cables"),
        PairUnbalancePercent = map.Text("pair-unbalance-percent"),
        PairsetLimitAmperes = map.Text("pairset-limit-a"),
        Screened = map.Text("screened"),
    };
}
