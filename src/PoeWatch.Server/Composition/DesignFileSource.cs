using PoeWatch.DesignFiles;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Server.Composition;

/// <summary>Reads designs from one file, and from what somebody sends.</summary>
public sealed class DesignFileSource(string file) : IDesignSource
{
    public DesignReading Read() => From(DesignFile.Load(file));

    // What is sent may not name files of this machine: lists have to come joined in.
    public DesignReading Parse(string text, string name) =>
        From(DesignFile.Parse(text, name, list => new FoundText(null, $"a sent design holds its lists itself; '{list}' is not among them.")));

    private static DesignReading From(LoadedDesign read) => new(read.Result.Model, read.Result.Problems, read.JoinedText);
}
