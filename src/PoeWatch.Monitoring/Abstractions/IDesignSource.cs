using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>A design as it was read: the model where it is valid, every problem found, and the text it was read from.</summary>
/// <param name="Model">Null where one of the problems is an error.</param>
/// <param name="Text">What was read, CSV files joined in: what the history keeps of this version.</param>
public sealed record DesignReading(DesignModel? Model, ImmutableArray<DesignProblem> Problems, string Text);

/// <summary>Reads designs as people write them.</summary>
public interface IDesignSource
{
    /// <summary>Reads the design that the service was started with, again from its place.</summary>
    DesignReading Read();

    /// <summary>Reads a design that somebody sent.</summary>
    DesignReading Parse(string text, string name);
}
