using PoeWatch.Snmp.Walking;

namespace PoeWatch.Snmp;

/// <summary>
/// How much one agent takes per GetBulk, learned over its walks: keep one per switch and give it to each. It grows while
/// answers are full, settles on what fits an answer, halves on tooBig and on silence. Used by one walk at a time.
/// </summary>
public sealed class WalkState
{
    public const int FirstRepetitions = 10;
    public const int LargestRepetitions = 50;

    /// <summary>After so many whole walks a bound that was learned is tried again.</summary>
    private const int WalksBeforeRaising = 32;

    /// <summary>Requests whose tables are remembered: a switch is asked for little more than its fast, medium and slow objects.</summary>
    private const int ShapesKept = 8;

    private readonly List<WalkShape> _shapes = new(1);
    private int _ceiling = LargestRepetitions;
    private int _wholeWalks;

    /// <summary>Rows that the next request asks for.</summary>
    public int Repetitions { get; private set; } = FirstRepetitions;

    /// <summary>Columns that the next request asks for at most.</summary>
    public int Columns { get; private set; } = SnmpClient.MaxOids;

    /// <summary>True once this agent has answered any walk.</summary>
    public bool HasAnswered { get; private set; }

    /// <summary>All rows asked for came: more may fit, if as many were asked for as ever.</summary>
    internal void AnsweredInFull(int rowsAsked)
    {
        HasAnswered = true;
        Repetitions = rowsAsked == Repetitions ? Math.Min(Repetitions * 2, _ceiling) : Repetitions;
    }

    /// <summary>What is remembered of a request's tables.</summary>
    internal WalkShape ShapeOf(WalkRequest request)
    {
        foreach (WalkShape shape in _shapes)
        {
            if (ReferenceEquals(shape.Request, request))
            {
                return shape;
            }
        }

        if (_shapes.Count == ShapesKept)
        {
            _shapes.RemoveAt(0);
        }

        WalkShape added = new(request);
        _shapes.Add(added);
        return added;
    }

    /// <summary>The agent sent fewer rows than asked for: that is what fits.</summary>
    internal void AnsweredInPart(int rows)
    {
        HasAnswered = true;
        _ceiling = Math.Clamp(rows, 1, LargestRepetitions);
        Repetitions = _ceiling;
        _wholeWalks = 0;
    }

    /// <summary>tooBig: fewer rows, and once it is one row, fewer columns. False where nothing smaller is left.</summary>
    internal bool TryShrink(int columnsAsked)
    {
        _wholeWalks = 0;
        if (Repetitions > 1)
        {
            Repetitions /= 2;
            _ceiling = Repetitions;
            return true;
        }

        if (columnsAsked <= 1)
        {
            return false;
        }

        Columns = columnsAsked / 2;
        return true;
    }

    /// <summary>
    /// Silence may be the agent choking on a large request: ask for less next time. Only where it fell silent in the midst
    /// of a walk is that a lasting bound; a switch that is down says nothing about sizes.
    /// </summary>
    internal void WasSilent(bool inMidWalk)
    {
        Repetitions = HasAnswered ? Math.Max(1, Repetitions / 2) : 1;
        _ceiling = inMidWalk ? Repetitions : _ceiling;
    }

    internal void WalkWasWhole()
    {
        if (++_wholeWalks % WalksBeforeRaising == 0)
        {
            _ceiling = Math.Min(_ceiling * 2, LargestRepetitions);
            Columns = Math.Min(Columns * 2, SnmpClient.MaxOids);
        }
    }
}
