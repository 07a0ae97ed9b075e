using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Channels.Tests;

/// <summary>A channel that keeps what it is given, and answers as told.</summary>
internal sealed class ListChannel : INoticeChannel
{
    public string Name => "out";

    public Sending Answer { get; set; } = Sending.Sent;

    public List<NoticeMessage> Taken { get; } = [];

    public IEnumerable<Notice> Notices => Taken.SelectMany(m => m.Notices);

    public IEnumerable<string> Kinds => Notices.Select(n => n.Content.Kind);

    public IEnumerable<string> Texts => Notices.Select(n => n.Content.Text);

    public Task<Sending> SendAsync(NoticeMessage message, CancellationToken cancellationToken)
    {
        if (Answer.Result == SendingResult.Sent)
        {
            Taken.Add(message);
        }

        return Task.FromResult(Answer);
    }
}
