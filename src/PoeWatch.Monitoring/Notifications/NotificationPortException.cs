namespace PoeWatch.Monitoring.Notifications;

/// <summary>The port for notifications cannot be listened on; the message names it and the remedy.</summary>
public sealed class NotificationPortException : IOException
{
    public NotificationPortException()
    {
    }

    public NotificationPortException(string message)
        : base(message)
    {
    }

    public NotificationPortException(string message, Exception inner)
        : base(message, inner)
    {
    }
}
