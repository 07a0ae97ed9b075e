using PoeWatch.DesignFiles;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Server.Composition;

/// <summary>Reads designs from one file, and from what somebody sends.</summary>
public sealed class DesignFileSource(string file) : IDesignSource
{
    public DesignReading Read() => From(DesignFile.Load(file));

    public DesignReading Parse(string text, string name) => From(DesignFile.ParseJoined(text, name));

    private static DesignReading From(LoadedDesign read) => new(read.Result.Model, read.Result.Problems, read.JoinedText);
}
