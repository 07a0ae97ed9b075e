namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>
/// What decoding one poll needs for its own time only: one a thread, for all agents, so that a poll leaves no garbage of it behind.
/// </summary>
internal sealed class DecodeRoom
{
    [ThreadStatic]
    private static DecodeRoom? t_ofThread;

    private readonly List<DrawSlots> _said = [];

    public static DecodeRoom OfThread => t_ofThread ??= new DecodeRoom();

    public PortTable? Table { get; set; }

    /// <summary>What the agent says of its groups.</summary>
    public List<GroupCells> Groups { get; } = [];

    public DrawSlots Best { get; } = new(0);

    /// <summary>Empty slots of so many sources.</summary>
    public IReadOnlyList<DrawSlots> Said(int sources, int slots)
    {
        while (_said.Count < sources)
        {
            _said.Add(new DrawSlots(slots));
        }

        for (var i = 0; i < sources; i++)
        {
            _said[i].Reset(slots);
        }

        return _said;
    }
}
