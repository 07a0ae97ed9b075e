namespace PoeWatch.Channels;

/// <summary>A channel's settings are not usable; the message names the setting, the value and the remedy.</summary>
public sealed class ChannelSettingsException : Exception
{
    public ChannelSettingsException()
    {
    }

    public ChannelSettingsException(string message)
        : base(message)
    {
    }

    public ChannelSettingsException(string message, Exception inner)
        : base(message, inner)
    {
    }
}
