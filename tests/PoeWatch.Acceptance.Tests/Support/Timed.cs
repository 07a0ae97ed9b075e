namespace PoeWatch.Acceptance.Tests.Support;

/// <summary>Tests with promises in seconds: they run when no other test does, else they would measure the other tests.</summary>
[CollectionDefinition(nameof(Timed), DisableParallelization = true)]
public sealed class Timed;
