using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>Drives a book along a timeline and keeps what happened.</summary>
internal sealed class BookTimeline(AlarmTimings? timings = null)
{
    public static readonly DateTimeOffset Start = new(2026, 3, 14, 22, 0, 0, TimeSpan.Zero);
    public static readonly AlarmKey Key = new("run/quay-west:1/3", "headroom-low");

    public AlarmBook Book { get; private set; } = AlarmBook.Empty(timings ?? new AlarmTimings());

    public List<AlarmChange> Changes { get; } = [];

    public List<string> Kinds => [.. Changes.Select(c => c.Kind)];

    public Alarm? Alarm => Book.Find(Key);

    /// <summary>A value against one floor, at seconds from the start.</summary>
    public void Value(double second, double value, double floor, bool isKnown = true) =>
        Apply(second, [new AlarmCondition(Key, AlarmSeverity.Minor, value, floor, "text", "steps")], isKnown);

    /// <summary>A value against an early floor of 5 (minor) and a late one of 2 (major).</summary>
    public void Levels(double second, double value) => Apply(second, [TwoLevels(value)]);

    public void Holds(double second, AlarmSeverity severity = AlarmSeverity.Major) =>
        Apply(second, [AlarmCondition.Plain(Key, severity, "text", "steps")]);

    public void Gone(double second, bool isKnown = true) => Apply(second, [], isKnown);

    /// <summary>How far the wall clock is from the running one.</summary>
    public TimeSpan ClockStep { get; set; }

    /// <summary>The maintenance window in force; empty where none.</summary>
    public string Window { get; set; } = "";

    public void Apply(double second, IReadOnlyCollection<AlarmCondition> conditions, bool isKnown = true)
    {
        var step = Book.Apply(new AlarmMoment(Start.AddSeconds(second) + ClockStep, TimeSpan.FromSeconds(second)), conditions, _ => isKnown, _ => Window);
        Book = step.Book;
        Changes.AddRange(step.Changes);
    }

    public void Operator(double second, OperatorState state, AlarmShelf? shelf = null)
    {
        var step = Book.SetOperatorState(Start.AddSeconds(second) + ClockStep, Key, state, "Ines", "seen", shelf);
        Assert.Equal(OperatorOutcome.Done, step.Outcome);
        Book = step.Book;
        Changes.Add(step.Change!);
    }

    /// <summary>The service ends and starts again from what was stored.</summary>
    public void Restart() => Book = AlarmBook.Restore([.. Book.Alarms], timings ?? new AlarmTimings());

    public static AlarmCondition TwoLevels(double value) =>
        new(Key, value < 2 ? AlarmSeverity.Major : AlarmSeverity.Minor, value, 5, "text", "steps")
        {
            Levels = [new AlarmLevel(AlarmSeverity.Minor, 5), new AlarmLevel(AlarmSeverity.Major, 2)],
        };
}
