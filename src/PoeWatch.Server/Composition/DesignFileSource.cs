using PoeWatch.DesignFiles;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Server.Composition;

/// <summary>Reads designs from one file, and from what somebody sends.</summary>
/// <param name="types">Where types are found that a design does not describe; null for the folder beside the program.</param>
public sealed class DesignFileSource(string file, DeviceTypeFolder? types = null) : IDesignSource
{
    public DesignReading Read() => From(DesignFile.Load(file, types));

    public DesignReading Parse(string text, string name) => From(DesignFile.ParseJoined(text, name, types));

    private static DesignReading From(LoadedDesign read) => new(read.Result.Model, read.Result.Problems, read.JoinedText);
}
