using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests.Fakes;

/// <summary>Takes what is posted and shows it in the view, as the desk does; fails with <see cref="Failure"/> where one is set.</summary>
internal sealed class FakeConditions(FakeSite site, TimeProvider time) : IConditionDesk, IConditionStore
{
    public StoreException? Failure { get; set; }

    public List<PostedCondition> Words { get; } = [];

    public Task<PostedCondition> SayAsync(string topic, bool holds, DateTimeOffset until, string who, string text, CancellationToken cancellationToken) =>
        Take(new PostedCondition(topic, time.GetUtcNow(), who, holds, null, until, text));

    public Task<PostedCondition> SayAirAsync(Temperature air, DateTimeOffset until, string who, string text, CancellationToken cancellationToken) =>
        Take(new PostedCondition(ConditionNames.AirTemperature, time.GetUtcNow(), who, null, air, until, text));

    public async Task<bool> TakeBackAsync(string topic, string who, CancellationToken cancellationToken)
    {
        if (!PostedCondition.Newest(Words).TryGetValue(topic, out var word) || !word.CountsAt(time.GetUtcNow()))
        {
            return false;
        }

        await Take(new PostedCondition(topic, time.GetUtcNow(), who, null, null, null, ""));
        return true;
    }

    public Task SavePostedAsync(PostedCondition word, CancellationToken cancellationToken) => Take(word);

    public Task<IReadOnlyList<PostedCondition>> ReadNewestPostedAsync(CancellationToken cancellationToken) =>
        Task.FromResult<IReadOnlyList<PostedCondition>>([.. PostedCondition.Newest(Words).Values]);

    public Task<IReadOnlyList<PostedCondition>> ReadPostedAsync(DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        Failure is { } failure
            ? Task.FromException<IReadOnlyList<PostedCondition>>(failure)
            : Task.FromResult<IReadOnlyList<PostedCondition>>([.. Words.Where(word => word.At >= from && word.At < to)]);

    private Task<PostedCondition> Take(PostedCondition word)
    {
        if (Failure is { } failure)
        {
            return Task.FromException<PostedCondition>(failure);
        }

        Words.Add(word);
        var view = site.Current;
        var known = ConditionReckoner.Reckon(view.Design, time.GetUtcNow(), PostedCondition.Newest(Words).Values, []);
        var outlook = DesignAnalysis.Of(view.Design).Calendar.At(time.GetUtcNow(), known);
        site.Show(view with { Version = view.Version + 1, Assessment = view.Assessment with { Conditions = known, Outlook = outlook } });
        return Task.FromResult(word);
    }
}
