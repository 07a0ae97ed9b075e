namespace PoeWatch.TestKit.Snmp;

/// <summary>What a <see cref="ScriptedAgent"/> does wrong with one request.</summary>
public enum AgentFault
{
    None = 0,

    /// <summary>No answer.</summary>
    Silence,

    /// <summary>The answer waits for <see cref="ScriptedAgent.ReleaseHeldAsync"/>.</summary>
    Held,

    /// <summary>The answer comes twice.</summary>
    Twice,

    /// <summary>The answer carries another request's id.</summary>
    WrongId,

    /// <summary>The answer loses its second half.</summary>
    Truncated,

    /// <summary>The answer comes from another port.</summary>
    OtherSource,

    /// <summary>The answer comes from the same port of another address, 127.0.0.2.</summary>
    OtherAddress,

    /// <summary>Bytes that are no message at all.</summary>
    Garbage,

    /// <summary>error-status tooBig.</summary>
    TooBig,

    /// <summary>error-status genErr, blaming the first variable.</summary>
    GenErr,

    /// <summary>error-status authorizationError.</summary>
    AuthorizationError,

    /// <summary>A response without variables.</summary>
    Empty,

    /// <summary>Every successor is the name asked for, again.</summary>
    StuckOids,
}
